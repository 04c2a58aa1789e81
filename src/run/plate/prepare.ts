import { screens } from '../../core/screens/index.ts';
import { type FileSet, openFileSet } from '../../io/atomic.ts';
import { layPlate } from '../../job/plan.ts';
import type { RunContext } from './context.ts';
import { openDecision } from './decide.ts';
import { openInput, turnedSize } from './open-input.ts';
import { openPlate } from './open-plate.ts';
import type { Prepared, PrepareRequest } from './request.ts';
import { PLATE, refuseWithoutRoom } from './room.ts';

/**
 * Makes one plate from one picture: reads, plans, screens, finishes, writes, reads back. Either every file of the
 * plate is in place at the end, or none is and nothing that was there before has changed.
 */
export async function preparePlate(request: PrepareRequest, context: RunContext): Promise<Prepared> {
  const { job: wanted, making, curves } = request;
  const { signal, progress } = context;
  const input = await openInput(request, context);
  const expected = layPlate(wanted, turnedSize(input.facts, wanted.rotateDeg));
  const { widthPx, heightPx } = expected;
  // tone exists in bands only
  if (wanted.screen === null || screens[wanted.screen].draws === 'bits')
    refuseWithoutRoom({ widthPx, heightPx, dpi: wanted.dpi }, PLATE, making);
  const pool = context.poolFor((widthPx * heightPx) / 1000);
  const set = openSet(request, context);
  try {
    const open = request.within ?? (await openPlate(request, set, context));
    signal.throwIfAborted();
    progress('reading', 0, 1);
    const decision = openDecision(wanted, making, curves, pool, context.builtScreens);
    // what makes the plate is read while the picture is being decoded
    const [decoded, { makeDecoded }] = await Promise.all([
      input.decode(expected),
      import('./make-decoded.ts'),
    ]);
    return await makeDecoded(request, { input, decoded, decision, set, open, pool }, context);
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

/** The files of a plate, put in place together; it stays empty where they are opened among those of a set of plates. */
const openSet = ({ output }: PrepareRequest, { owner }: RunContext): FileSet =>
  openFileSet({
    owner,
    protect: output.to === 'nowhere' ? [] : output.protect,
    overwrite: output.to !== 'nowhere' && output.overwrite,
  });
