import { type Bitmap, createBitmap, tailMask } from '../bitmap.ts';
import { type Curve, type Knot, monotoneCurve } from '../curve.ts';
import { openSpot } from '../spot/coverage.ts';
import { type EtchedSide, frameOf, type ScreenDef, type ScreenPlace } from './contract.ts';
import { flatPatch } from './flat.ts';

const FULL_TONE = 65535;

/** Patches screened; more of them among the lightly etched tones, where curves bend most. */
const PATCHES = 17;

/** Side of a patch for screens that do not repeat; one that repeats is measured over one repeat. */
const PATCH_PX = 512;

/** Wider than the widest spot and the widest trim reach, so that the edges of a patch fall outside what is measured. */
const MARGIN_PX = 64;

/** The first columns of a bitmap. */
function leftOf(map: Bitmap, widthPx: number): Bitmap {
  const left = createBitmap(widthPx, map.heightPx);
  for (let y = 0; y < map.heightPx; y++) {
    const from = y * map.strideBytes;
    left.data.set(map.data.subarray(from, from + left.strideBytes), y * left.strideBytes);
    const last = (y + 1) * left.strideBytes - 1;
    left.data[last] = left.data[last]! & tailMask(widthPx);
  }
  return left;
}

/** Etched area → tone: how a screen's flat tones come out, and the table that makes them come out as asked. */
export interface SpotCurve {
  /** Etched share of the file, 0…1, and share that the beam is predicted to etch. */
  readonly knots: readonly Knot[];
  /** Ink tone asked for → ink tone to screen, 65,536 entries; paper and solids stay what they are. */
  readonly table: Uint16Array;
}

/**
 * Predicts what a screen's flat tones etch on this place: patches are screened and handed to the exact prediction
 * of the spot. Edges do not count: of two cuts of one patch, one repeat apart, the difference is taken.
 */
export function predictedKnots(
  def: ScreenDef,
  params: Readonly<Record<string, unknown>>,
  place: ScreenPlace,
  tables: unknown,
): Knot[] {
  const { x, y } = frameOf(def, params, place).repeatPx ?? { x: PATCH_PX, y: PATCH_PX };
  const area = openSpot({ spotPx: place.spotPx, beam: place.beam });
  const [from, to] = [MARGIN_PX, MARGIN_PX + y];
  return Array.from({ length: PATCHES }, (_, i): Knot => {
    const share = (i / (PATCHES - 1)) ** 1.5;
    if (i === 0) return [0, 0];
    const etchedTone = Math.round(share * FULL_TONE);
    const inkTone = place.etchedSide === 'ink' ? etchedTone : FULL_TONE - etchedTone;
    const screen = { def, params, place, tables };
    const patch = flatPatch(screen, inkTone, x + 2 * MARGIN_PX, y + 2 * MARGIN_PX);
    const areaUpTo = (widthPx: number): number => area(leftOf(patch, widthPx), from, to);
    const etchedPx = areaUpTo(MARGIN_PX + x) - areaUpTo(MARGIN_PX);
    return [etchedTone / FULL_TONE, Math.min(1, etchedPx / (x * y))];
  });
}

/** Steps that a curve is sampled in before it is turned round: between two of them it is as good as straight. */
const SAMPLES = 1 << 14;

/** The table of ink tones that undoes a curve of etched shares. */
export function toneTableFor(curve: Curve, { etchedSide }: Pick<ScreenPlace, 'etchedSide'>): Uint16Array {
  const heights = Float64Array.from({ length: SAMPLES + 1 }, (_, i) => curve.at(i / SAMPLES));
  const table = new Uint16Array(FULL_TONE + 1);
  const isInk = etchedSide === 'ink';
  for (let etched = 1, i = 0; etched < FULL_TONE; etched++) {
    const asked = etched / FULL_TONE;
    while (i < SAMPLES && heights[i]! < asked) i++;
    const below = i === 0 ? 0 : heights[i - 1]!;
    const rise = heights[i]! - below;
    const share = i === 0 ? 0 : (i - 1 + (rise > 0 ? Math.min(1, (asked - below) / rise) : 1)) / SAMPLES;
    const file = Math.round(share * FULL_TONE);
    table[isInk ? etched : FULL_TONE - etched] = isInk ? file : FULL_TONE - file;
  }
  table[FULL_TONE] = FULL_TONE;
  return table;
}

/** Knots of ink tones as those of etched shares. */
export const knotsOfSide = (inkKnots: readonly Knot[], etchedSide: EtchedSide): Knot[] =>
  etchedSide === 'ink' ? [...inkKnots] : inkKnots.map(([x, y]): Knot => [1 - x, 1 - y]).reverse();

/** The curve through the spot for a screen on its place; the beam is taken at its word, so a measured curve is better. */
export function spotCurve(
  def: ScreenDef,
  params: Readonly<Record<string, unknown>>,
  place: ScreenPlace,
  tables: unknown,
): SpotCurve {
  const knots = predictedKnots(def, params, place, tables);
  return { knots, table: toneTableFor(monotoneCurve(knots), place) };
}
