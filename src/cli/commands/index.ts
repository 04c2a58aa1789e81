import type { CommandDef } from './contract.ts';
import { list } from './list.ts';
import { prepare } from './prepare.ts';
import { schema } from './schema.ts';

/** Every command, in the order of the help. */
export const commands: readonly CommandDef[] = [prepare, list, schema];
