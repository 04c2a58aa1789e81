import { type Bitmap, placeRow, strideFor } from '../../core/bitmap.ts';
import { etchRows } from '../../core/plate.ts';
import { openResampler, TONE_CENTRE, type ToneSource } from '../../core/resample/index.ts';
import { frameOf, type ScreenDef, type ScreenFinding, type ScreenRow } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import { compensateLine } from '../../core/spot/compensate.ts';
import { openThinSides, type ThinSides } from '../../core/thin-lines.ts';
import { type Finishing, openFinishing, rowsOfBand } from './finishing.ts';
import { type Judging, openJudging } from './judging.ts';
import { type BitsSetup, screenBandRows } from './setup.ts';
import { openToneSource } from './tone-source.ts';

interface ScreenedBand {
  /** What the screen had to give up. */
  readonly found: readonly ScreenFinding[];
  /** True where something was drawn that the openings of the trim may change. */
  readonly needsOpening: boolean;
}

/** What can be asked for one plate; each returns plain data. */
export interface BitsWork extends Judging, Finishing {
  /** Screens one band of the picture's rows into the ink bitmap. */
  screen(band: number): ScreenedBand;
  /** Ink becomes etch in one band of the plate's rows; the first half of finishing, for plates that are narrowed or trimmed. */
  etch(band: number): void;
  /** Narrows the etched marks of the whole plate for the spot. */
  narrow(): void;
  /** Counts the picture's lines, and gaps between them, that are thinner than a pixel of the plate. */
  thinLines(): ThinSides;
}

/**
 * The row of each screen that was opened last. What the engine has compiled of it goes over to the next one, and would be
 * forgotten with it; it holds tables and a few rows.
 */
const lastRows = new Map<string, ScreenRow>();

/** Opens the work on one plate in this thread; tables are made when first needed and kept for all its bands. */
export function openBitsWork(setup: BitsSetup): BitsWork {
  const { plan, bitmap } = setup;
  const { box, x, y } = plan.layout;
  let source: ToneSource | undefined;
  let resample: ReturnType<typeof openResampler> | undefined;
  // the registry's entries have parameter types of their own; the job has checked them
  const def = screens[plan.screen.kind] as unknown as ScreenDef;
  const { params, place } = plan.screen;
  const { tables, toneTable } = setup.built;
  const openScreen = (widthPx: number, firstRow: number): ScreenRow => {
    const row = def.open(params, { ...place, widthPx, heightPx: box.heightPx, firstRow }, tables);
    lastRows.set(plan.screen.kind, row);
    return row;
  };

  const layInk = (ink: Bitmap, from: number, to: number): void => {
    for (let y = from; y < to; y++)
      placeRow(
        ink.data,
        y * ink.strideBytes,
        box.widthPx,
        bitmap.data,
        (box.yPx + y) * bitmap.strideBytes,
        box.xPx,
      );
  };

  const screen: BitsWork['screen'] = (band) => {
    if (setup.ink) {
      const rows = screenBandRows(plan.screen);
      layInk(setup.ink, band * rows, Math.min((band + 1) * rows, box.heightPx));
      return { found: [], needsOpening: true };
    }
    source ??= openToneSource(setup, setup.plan.tone, setup.plan.descreenPerPx);
    resample ??= openResampler(source, x, y);
    const { leadInRows, delayRows } = frameOf(def, params, place);
    const bandRows = screenBandRows(plan.screen);
    const from = band * bandRows;
    const to = Math.min(from + bandRows, box.heightPx);
    const row = openScreen(box.widthPx, from - leadInRows);
    const tone = new Uint16Array(box.widthPx);
    const spare = new Uint8Array(strideFor(box.widthPx));
    const direct = box.xPx === 0;
    for (let at = from - leadInRows; at < to + delayRows; at++) {
      // beyond the picture its outermost row is repeated
      resample(Math.min(box.heightPx - 1, Math.max(0, at)), tone);
      if (toneTable) for (let i = 0; i < tone.length; i++) tone[i] = toneTable[tone[i]!]!;
      const drawn = at - delayRows;
      const target = (box.yPx + drawn) * bitmap.strideBytes;
      if (drawn < from) row(tone, at, spare, 0);
      else if (direct) row(tone, at, bitmap.data, target);
      else {
        row(tone, at, spare, 0);
        placeRow(spare, 0, box.widthPx, bitmap.data, target, box.xPx);
      }
    }
    return { found: row.found?.(from, to) ?? [], needsOpening: row.needsOpening?.() ?? true };
  };

  const etch: BitsWork['etch'] = (band) =>
    etchRows(bitmap, plan.finish, ...rowsOfBand(band, bitmap.heightPx));

  const narrow: BitsWork['narrow'] = () => {
    if (plan.narrowFor) compensateLine(bitmap, plan.narrowFor);
  };

  const thinLines: BitsWork['thinLines'] = () => {
    const tones = openToneSource(setup, setup.plan.tone, setup.plan.descreenPerPx);
    const { widthPx, heightPx } = tones;
    const counter = openThinSides(widthPx, x.stepPx, y.stepPx);
    // what is ink is for the screen to say: its level counts, the cap, the floor
    const drawn = openScreen(widthPx, 0);
    const row = new Int16Array(widthPx);
    const tone = new Uint16Array(widthPx);
    const bits = new Uint8Array(strideFor(widthPx));
    for (let at = 0; at < heightPx; at++) {
      tones.readRow(at, row, 0);
      for (let i = 0; i < widthPx; i++) tone[i] = row[i]! + TONE_CENTRE;
      drawn(tone, at, bits, 0);
      counter.row(bits);
    }
    return counter.finish();
  };

  return {
    screen,
    etch,
    narrow,
    ...openFinishing({ ...setup, ...plan, isEtched: plan.narrowFor !== null || plan.trim !== null }),
    ...openJudging(setup),
    thinLines,
  };
}
