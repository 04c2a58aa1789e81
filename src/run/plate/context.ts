import type { Owner } from '../../io/owner.ts';
import type { Pool } from '../pool.ts';
import type { Progress } from './bands.ts';
import type { ScreenStore } from './decide.ts';

/** What all work of one run shares. */
export interface RunContext {
  /** The threads for a plate of so many pixels; small plates are not worth starting any. */
  readonly poolFor: (plateKpx: number) => Pool;
  readonly owner: Owner;
  /** A folder of this run for what is too large to keep in memory. */
  readonly scratchFolder: string;
  readonly builtScreens: ScreenStore;
  readonly signal: AbortSignal;
  readonly progress: Progress;
}
