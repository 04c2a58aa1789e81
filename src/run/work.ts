import { readSync } from 'node:fs';
import { countBits, placeRow, strideFor } from '../core/bitmap.ts';
import { etchRows, faceRows, finishRows } from '../core/plate.ts';
import { openResampler, TONE_CENTRE, type ToneSource } from '../core/resample.ts';
import { frameOf, type ScreenDef, type ScreenFinding, type ScreenRow } from '../core/screens/contract.ts';
import { screens } from '../core/screens/index.ts';
import { compensateLine } from '../core/spot/compensate.ts';
import { openThinSides, type ThinSides } from '../core/thin-lines.ts';
import { type Extents, rowExtents } from '../core/time/extents.ts';
import { type Seams, trimRows } from '../core/trim.ts';
import type { EncodedBand, LocatedPlate } from '../io/formats/contract.ts';
import { type FormatKind, formats } from '../io/formats/index.ts';
import { openWorkspace } from '../io/formats/workspace.ts';
import { type Judging, openJudging } from './judging.ts';
import { BAND_ROWS, type BitsSetup, screenBandRows } from './setup.ts';
import { openToneSource } from './tone-source.ts';

interface FinishedBand {
  readonly etched: number;
  readonly encoded: EncodedBand[];
  /** First and last etched pixel of each row. */
  readonly extents: Extents;
}

/** What can be asked for one plate; each returns plain data. */
export interface BitsWork extends Judging {
  /** Screens one band of the picture's rows into the ink bitmap; what the screen had to give up there. */
  screen(band: number): readonly ScreenFinding[];
  /** Ink becomes etch in one band of the plate's rows; the first half of finishing, for plates that are narrowed or trimmed. */
  etch(band: number): void;
  /** Narrows the etched marks of the whole plate for the spot. */
  narrow(): void;
  /** Finishes one band of the plate's rows in place, counts it and encodes it for every format; a trimmed band gets its seams. */
  finish(band: number, seams: Seams | null): FinishedBand;
  /** Reads one band of a written file back; the number of its rows that differ from the bitmap. */
  verify(format: FormatKind, fd: number, located: LocatedPlate, band: number): number;
  /** Counts the picture's lines, and gaps between them, that are thinner than a pixel of the plate. */
  thinLines(): ThinSides;
}

/** Opens the work on one plate in this thread; tables are made when first needed and kept for all its bands. */
export function openBitsWork(setup: BitsSetup): BitsWork {
  const { plan, bitmap, head } = setup;
  const { box, x, y } = plan.layout;
  let source: ToneSource | undefined;
  let resample: ReturnType<typeof openResampler> | undefined;
  // the registry's entries have parameter types of their own; the job has checked them
  const def = screens[plan.screen.kind] as unknown as ScreenDef;
  const { params, place } = plan.screen;
  const { tables, curve } = setup.built;
  const openScreen = (widthPx: number, firstRow: number): ScreenRow =>
    def.open(params, { ...place, widthPx, heightPx: box.heightPx, firstRow }, tables);

  const screen: BitsWork['screen'] = (band) => {
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
      if (curve) for (let i = 0; i < tone.length; i++) tone[i] = curve.table[tone[i]!]!;
      const drawn = at - delayRows;
      const target = (box.yPx + drawn) * bitmap.strideBytes;
      if (drawn < from) row(tone, at, spare, 0);
      else if (direct) row(tone, at, bitmap.data, target);
      else {
        row(tone, at, spare, 0);
        placeRow(spare, 0, box.widthPx, bitmap.data, target, box.xPx);
      }
    }
    return row.found?.(from, to) ?? [];
  };

  const rangeOf = (band: number): [from: number, to: number] => [
    band * BAND_ROWS,
    Math.min((band + 1) * BAND_ROWS, bitmap.heightPx),
  ];
  const isEtched = plan.narrowFor !== null || plan.trim !== null;

  const etch: BitsWork['etch'] = (band) => etchRows(bitmap, plan.finish, ...rangeOf(band));

  const narrow: BitsWork['narrow'] = () => {
    if (plan.narrowFor) compensateLine(bitmap, plan.narrowFor);
  };

  const finish: BitsWork['finish'] = (band, seams) => {
    const [from, to] = rangeOf(band);
    if (plan.trim && seams) trimRows(bitmap, plan.trim, from, to, seams);
    (isEtched ? faceRows : finishRows)(bitmap, plan.finish, from, to);
    const rows = bitmap.data.subarray(from * bitmap.strideBytes, to * bitmap.strideBytes);
    return {
      etched: countBits(rows),
      encoded: setup.formats.map((kind) => formats[kind].encodeBand(rows, head, from)),
      extents: rowExtents({ ...bitmap, heightPx: to - from, data: rows }),
    };
  };

  const packedBand = openWorkspace();
  const verify: BitsWork['verify'] = (kind, fd, located, index) => {
    const band = located.bands[index]!;
    const bytes = packedBand(band.bytes);
    if (readSync(fd, bytes, 0, band.bytes, band.offset) !== band.bytes) return band.rows;
    const stored = formats[kind].decodeBand(bytes, located, band);
    const turned = located.oneIsWhite === (head.fire === 'dark') ? 0xff : 0;
    const { strideBytes, data } = bitmap;
    const start = band.firstRow * strideBytes;
    const tail = (0xff00 >> (((bitmap.widthPx - 1) & 7) + 1)) & 0xff;
    let wrong = 0;
    for (let r = 0; r < band.rows; r++) {
      const at = r * strideBytes;
      let differs = 0;
      for (let i = 0; i < strideBytes - 1; i++) differs |= stored[at + i]! ^ turned ^ data[start + at + i]!;
      differs |= (stored[at + strideBytes - 1]! ^ turned ^ data[start + at + strideBytes - 1]!) & tail;
      if (differs !== 0) wrong++;
    }
    return wrong;
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
    finish,
    ...openJudging(setup),
    verify,
    thinLines,
  };
}
