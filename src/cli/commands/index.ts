import type { CommandDef } from './contract.ts';

/**
 * Every command, in the order of the help. Each is read when it is wanted: most bring the schemas of their settings, and
 * all sixteen together cost a start twice the processor time of one (0.30 and 0.15 s).
 */
const readers: Readonly<Record<string, () => Promise<CommandDef>>> = {
  prepare: async () => (await import('./prepare.ts')).prepare,
  check: async () => (await import('./check.ts')).check,
  separate: async () => (await import('./separate.ts')).separate,
  gang: async () => (await import('./gang.ts')).gang,
  testplate: async () => (await import('./testplate.ts')).testplate,
  calibrate: async () => (await import('./calibrate.ts')).calibrate,
  batch: async () => (await import('./batch.ts')).batch,
  slots: async () => (await import('./slots.ts')).slots,
  remake: async () => (await import('./remake.ts')).remake,
  notebook: async () => (await import('./notebook.ts')).notebook,
  edition: async () => (await import('./edition/index.ts')).edition,
  workshop: async () => (await import('./workshop.ts')).workshop,
  list: async () => (await import('./list.ts')).list,
  schema: async () => (await import('./schema.ts')).schema,
  completion: async () => (await import('./completion.ts')).completion,
  help: async () => (await import('./help.ts')).help,
};

export const commandNames: readonly string[] = Object.keys(readers);

/** Commands that speak of all the others. */
const OF_ALL: readonly string[] = ['completion', 'help'];

/**
 * The commands that a command line wants to know of: the one it names, none for the version alone, else all, so that
 * the help is whole and a mistyped name can be told from the right one.
 */
export function wantedCommands([first]: readonly string[]): Promise<CommandDef[]> {
  const isOne = first !== undefined && Object.hasOwn(readers, first) && !OF_ALL.includes(first);
  const names = isOne ? [first] : first === '--version' || first === '-V' ? [] : commandNames;
  return Promise.all(names.map((name) => readers[name]!()));
}
