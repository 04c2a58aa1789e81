import { batch } from './batch.ts';
import { calibrate } from './calibrate.ts';
import { check } from './check.ts';
import type { CommandDef } from './contract.ts';
import { list } from './list.ts';
import { prepare } from './prepare.ts';
import { schema } from './schema.ts';
import { testplate } from './testplate.ts';
import { workshop } from './workshop.ts';

/** Every command, in the order of the help. */
export const commands: readonly CommandDef[] = [
  prepare,
  batch,
  check,
  testplate,
  calibrate,
  workshop,
  list,
  schema,
];
