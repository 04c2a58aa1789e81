import type { ProcessDef } from './contract.ts';
import { intaglio } from './intaglio.ts';
import { relief } from './relief.ts';

/** Every process, by its name. One line here and one file beside it make a new one. */
export const processes = { relief, intaglio } as const satisfies Record<string, ProcessDef>;

/** Name of a process, as job files and `--process` have it. */
export type ProcessKind = keyof typeof processes;
