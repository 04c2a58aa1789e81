import { calibrate } from './calibrate.ts';
import { check } from './check.ts';
import type { CommandDef } from './contract.ts';
import { edition } from './edition.ts';
import { gang } from './gang.ts';
import { list } from './list.ts';
import { notebook } from './notebook.ts';
import { prepare } from './prepare.ts';
import { remake } from './remake.ts';
import { schema } from './schema.ts';
import { separate } from './separate.ts';
import { testplate } from './testplate.ts';
import { workshop } from './workshop.ts';

/** Every command, in the order of the help. */
export const commands: readonly CommandDef[] = [
  prepare,
  separate,
  check,
  gang,
  testplate,
  calibrate,
  remake,
  notebook,
  edition,
  workshop,
  list,
  schema,
];
