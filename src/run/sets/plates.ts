import { type Bitmap, strideFor } from '../../core/bitmap.ts';
import type { PlateLayout } from '../../core/geometry.ts';
import { either } from '../../core/separations/bits.ts';
import type { RunContext } from '../plate/context.ts';
import { preparePlate } from '../plate/prepare.ts';
import type { OpenPlate, Prepared, PrepareRequest } from '../plate/request.ts';
import type { Division } from './division.ts';

/** A plate of a set, but for its picture and its files. */
export type PlateRequest = Omit<PrepareRequest, 'input' | 'within'>;

/** Packed bits of plates of which two may be on the way at once: the second then takes no more than 32 MB besides. */
const MOST_BYTES = 12.8e6;

const mayOverlap = ({ widthPx, heightPx }: PlateLayout): boolean =>
  strideFor(widthPx) * heightPx <= MOST_BYTES;

/** The context for one plate, with what settles once it is drawn and is only judged, written and read back. */
function untilDrawn(context: RunContext): { readonly own: RunContext; readonly drawn: Promise<void> } {
  let tell = (): void => undefined;
  const drawn = new Promise<void>((resolve) => {
    tell = resolve;
  });
  const progress: RunContext['progress'] = (phase, done, total) => {
    if (phase === 'judging') tell();
    context.progress(phase, done, total);
  };
  return { own: { ...context, progress }, drawn };
}

async function makeOne(
  division: Division,
  index: number,
  request: Omit<PrepareRequest, 'input'>,
  context: RunContext,
): Promise<Prepared> {
  const source = await division.open(index);
  try {
    return await preparePlate({ ...request, input: source.input }, context);
  } finally {
    source.close();
  }
}

/**
 * Makes the plates of a set, in printing order. A plate begins when the one before is drawn, since judging, writing and
 * reading back leave threads idle. Large ones, those cut out of one block, and areas, which take much memory as it is, begin
 * when it is whole.
 */
export async function makePlates(
  oneBlock: boolean,
  division: Division,
  plates: readonly PlateRequest[],
  opened: readonly OpenPlate[],
  context: RunContext,
): Promise<Prepared[]> {
  const overlap = !oneBlock && division.areas === null && mayOverlap(division.layout);
  const made: Promise<Prepared>[] = [];
  let etched: Bitmap | null = null;
  try {
    for (const [index, plate] of plates.entries()) {
      // two at once are enough, and it may have failed
      await made[index - 2];
      const before: Pick<PrepareRequest, 'etchedBefore'> = etched ? { etchedBefore: etched } : {};
      const { own, drawn } = untilDrawn(context);
      const one = makeOne(division, index, { ...plate, ...before, within: opened[index]! }, own);
      made.push(one);
      if (overlap) await Promise.race([drawn, one]);
      else {
        const { printed }: Prepared = await one;
        if (oneBlock && printed) etched = etched ? either(etched, printed.bitmap) : printed.bitmap;
      }
    }
    return await Promise.all(made);
  } finally {
    // what is under way uses files and memory that are given up next
    await Promise.allSettled(made);
  }
}
