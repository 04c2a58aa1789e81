import { readSync } from 'node:fs';
import { countBits, placeRow, strideFor } from '../core/bitmap.ts';
import { finishRows } from '../core/plate.ts';
import { openResampler, type ToneSource } from '../core/resample.ts';
import type { ScreenDef } from '../core/screens/contract.ts';
import { screens } from '../core/screens/index.ts';
import { openThinLines, type ThinLines } from '../core/thin-lines.ts';
import type { EncodedBand, LocatedPlate } from '../io/formats/contract.ts';
import { type FormatKind, formats } from '../io/formats/index.ts';
import { BAND_ROWS, type BitsSetup, type PlateSetup } from './setup.ts';
import { openToneSource } from './tone-source.ts';
import { openToneWork, type ToneWork } from './tone-work.ts';

/** What can be asked for one plate of marks; each returns plain data. */
interface BitsWork {
  /** Screens one band of the picture's rows into the ink bitmap. */
  screen(band: number): void;
  /** Finishes one band of the plate's rows in place, counts it and encodes it for every format. */
  finish(band: number): { etched: number; encoded: EncodedBand[] };
  /** Reads one band of a written file back; the number of its rows that differ from the bitmap. */
  verify(format: FormatKind, fd: number, located: LocatedPlate, band: number): number;
  /** Counts the picture's lines that are thinner than a pixel of the plate. */
  thinLines(): ThinLines;
}

/** Opens the work on one plate in this thread; tables are made when first needed and kept for all its bands. */
function openBitsWork(setup: BitsSetup): BitsWork {
  const { plan, bitmap, head } = setup;
  const { box, x, y } = plan.layout;
  let source: ToneSource | undefined;
  let resample: ReturnType<typeof openResampler> | undefined;

  const screen: BitsWork['screen'] = (band) => {
    source ??= openToneSource(setup);
    resample ??= openResampler(source, x, y);
    // the registry's entries have parameter types of their own; the job has checked them
    const def = screens[plan.screen.kind] as unknown as ScreenDef;
    const from = band * BAND_ROWS;
    const to = Math.min(from + BAND_ROWS, box.heightPx);
    const firstRow = from - def.leadInRows;
    const row = def.open(plan.screen.params, {
      widthPx: box.widthPx,
      etchedSide: plan.etches,
      firstRow,
      plate: plan.screen.plate,
      pxPerMm: plan.screen.pxPerMm,
    });
    const tone = new Uint16Array(box.widthPx);
    const spare = new Uint8Array(strideFor(box.widthPx));
    const direct = box.xPx === 0;
    for (let at = firstRow; at < to; at++) {
      // above the picture its first row is repeated
      resample(Math.max(0, at), tone);
      const target = (box.yPx + at) * bitmap.strideBytes;
      if (at < from) row(tone, at, spare, 0);
      else if (direct) row(tone, at, bitmap.data, target);
      else {
        row(tone, at, spare, 0);
        placeRow(spare, 0, box.widthPx, bitmap.data, target, box.xPx);
      }
    }
  };

  const finish: BitsWork['finish'] = (band) => {
    const from = band * BAND_ROWS;
    const to = Math.min(from + BAND_ROWS, bitmap.heightPx);
    finishRows(bitmap, plan.finish, from, to);
    const rows = bitmap.data.subarray(from * bitmap.strideBytes, to * bitmap.strideBytes);
    return {
      etched: countBits(rows),
      encoded: setup.formats.map((kind) => formats[kind].encodeBand(rows, head, from)),
    };
  };

  const verify: BitsWork['verify'] = (kind, fd, located, index) => {
    const band = located.bands[index]!;
    const bytes = new Uint8Array(band.bytes);
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
    const tones = openToneSource(setup);
    const row = new Int16Array(tones.widthPx);
    const counter = openThinLines(tones.widthPx, x.stepPx, y.stepPx, 0);
    for (let at = 0; at < tones.heightPx; at++) {
      tones.readRow(at, row, 0);
      counter.row(row, 0);
    }
    return counter.finish();
  };

  return { screen, finish, verify, thinLines };
}

/** A piece of work as it is sent to a worker. */
export type Task =
  | { readonly do: 'screen'; readonly plate: number; readonly band: number }
  | { readonly do: 'finish'; readonly plate: number; readonly band: number }
  | { readonly do: 'thinLines'; readonly plate: number }
  | {
      readonly do: 'verify';
      readonly plate: number;
      readonly format: FormatKind;
      readonly fd: number;
      readonly located: LocatedPlate;
      readonly band: number;
    }
  | { readonly do: 'tone'; readonly plate: number; readonly band: number }
  | {
      readonly do: 'verifyTone';
      readonly plate: number;
      readonly format: FormatKind;
      readonly fd: number;
      readonly located: LocatedPlate;
      readonly band: number;
      /** CRC-32 of the band's etch rows as they were made. */
      readonly crc: number;
    };

export type Result<T extends Task> = T extends { do: 'finish' }
  ? ReturnType<BitsWork['finish']>
  : T extends { do: 'tone' }
    ? ReturnType<ToneWork['make']>
    : T extends { do: 'verify' | 'verifyTone' }
      ? number
      : T extends { do: 'thinLines' }
        ? ThinLines
        : undefined;

/** The plates one thread works on. */
export function openBench(): {
  add(setup: PlateSetup): void;
  drop(plate: number): void;
  run(task: Task): unknown;
} {
  const bits = new Map<number, BitsWork>();
  const tones = new Map<number, ToneWork>();
  const of = <Work>(plates: ReadonlyMap<number, Work>, plate: number): Work => {
    const work = plates.get(plate);
    if (!work) throw new Error(`no plate ${plate} of that kind on this bench`);
    return work;
  };
  return {
    add(setup) {
      if (setup.draws === 'tone') tones.set(setup.id, openToneWork(setup));
      else bits.set(setup.id, openBitsWork(setup));
    },
    drop(plate) {
      bits.delete(plate);
      tones.delete(plate);
    },
    run(task) {
      switch (task.do) {
        case 'screen':
          return of(bits, task.plate).screen(task.band);
        case 'finish':
          return of(bits, task.plate).finish(task.band);
        case 'verify':
          return of(bits, task.plate).verify(task.format, task.fd, task.located, task.band);
        case 'thinLines':
          return of(bits, task.plate).thinLines();
        case 'tone':
          return of(tones, task.plate).make(task.band);
        case 'verifyTone':
          return of(tones, task.plate).verify(task.format, task.fd, task.located, task.band, task.crc);
      }
    },
  };
}
