import { getHeapStatistics, setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

type Collect = (options?: { readonly type: 'minor' }) => void;

/** So many bytes of buffers that may have been let go of are worth a thorough collection, which takes 5 to 10 ms. */
const WORTH_BYTES = 4e6;

/**
 * The same for a thread that makes plate after plate: each of them passes the other several times. With 12 MB and little room for
 * young objects 60 plates of 2.1 million pixels took 15.0 s on two such threads, with this and the engine's own room 13.4 (means
 * of three in turn), and 293 MB at the peak for 219; the first 4 of them take 205 MB.
 */
export const LANE_WORTH_BYTES = 24e6;

/**
 * Gives a function, to be called after each task of a thread, that lets go of buffers nobody holds any more. A thread that
 * packs band after band makes few objects and large buffers, so the engine sees no need to collect before some 64 MB of them
 * lie about in each thread (measured at 279 million pixels on two threads: 275 MB at the peak without, 219 MB with; a
 * millisecond a band). Buffers that outlive two small collections within a task, as those of a screen's rows do, wait
 * for a thorough one (`cell`, judged: 257 MB without, 222 to 240 with).
 */
export function openCollect(worthBytes = WORTH_BYTES): () => void {
  // the flag is the whole process': taken back here, it would be gone from a thread that starts at the same time
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('typeof gc === "function" ? gc : undefined') as Collect | undefined;
  const heldBytes = (): number => getHeapStatistics().external_memory;
  let lasting = heldBytes();
  return () => {
    if (heldBytes() - lasting < worthBytes) return;
    collect?.({ type: 'minor' });
    if (heldBytes() - lasting < worthBytes) return;
    // V8 11 takes any argument at all for a wish for the small one
    collect?.();
    // what is let go of is counted by the next one only
    collect?.({ type: 'minor' });
    lasting = heldBytes();
  };
}
