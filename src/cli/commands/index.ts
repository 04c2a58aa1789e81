import { batch } from './batch.ts';
import { calibrate } from './calibrate.ts';
import { check } from './check.ts';
import { completion } from './completion.ts';
import type { CommandDef } from './contract.ts';
import { edition } from './edition.ts';
import { gang } from './gang.ts';
import { help } from './help.ts';
import { list } from './list.ts';
import { notebook } from './notebook.ts';
import { prepare } from './prepare.ts';
import { remake } from './remake.ts';
import { schema } from './schema.ts';
import { separate } from './separate.ts';
import { slots } from './slots.ts';
import { testplate } from './testplate.ts';
import { workshop } from './workshop.ts';

/** Every command, in the order of the help. */
export const commands: readonly CommandDef[] = [
  prepare,
  check,
  separate,
  gang,
  testplate,
  calibrate,
  batch,
  slots,
  remake,
  notebook,
  edition,
  workshop,
  list,
  schema,
  completion,
  help,
];
