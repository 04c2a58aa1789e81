import { readSync } from 'node:fs';
import { crc32 } from 'node:zlib';
import { openResampler } from '../../core/resample/index.ts';
import { etchToneRow, sumOf } from '../../core/tone-plate.ts';
import type { EncodedBand, LocatedPlate } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import { toneStoreOf } from '../formats.ts';
import { bandRowsFor, type ToneSetup } from './setup.ts';
import { openToneSource } from './tone-source.ts';

/** One band of a tone plate: the rows for the hash, their sum for the coverage, and what the files get. */
interface ToneBand {
  readonly rows: Uint8Array;
  readonly sum: number;
  readonly crc: number;
  readonly encoded: readonly EncodedBand[];
}

/** What can be asked for one plate of tone. */
export interface ToneWork {
  tone(band: number): ToneBand;
  /** Reads one band of a written file back; the number of its rows where they differ from what was made. */
  verifyTone(format: FormatKind, fd: number, located: LocatedPlate, band: number, crc: number): number;
}

/** Opens the work on one tone plate in this thread; nothing of a band is kept here. */
export function openToneWork(setup: ToneSetup): ToneWork {
  const { plan, head } = setup;
  const { widthPx, heightPx } = head;
  const { box, x, y } = plan.layout;
  let resample: ReturnType<typeof openResampler> | undefined;

  const tone: ToneWork['tone'] = (band) => {
    resample ??= openResampler(openToneSource(setup, setup.plan.tone, setup.plan.descreenPerPx), x, y);
    const from = band * bandRowsFor.tone;
    const to = Math.min(from + bandRowsFor.tone, heightPx);
    const inked = new Uint16Array(box.widthPx);
    const rows = new Uint8Array((to - from) * widthPx);
    for (let at = from; at < to; at++) {
      const boxRow = at - box.yPx;
      if (boxRow >= 0 && boxRow < box.heightPx) resample(boxRow, inked);
      etchToneRow(inked, at, plan.finish, rows.subarray((at - from) * widthPx, (at - from + 1) * widthPx));
    }
    const encoded = setup.formats.map((kind) => toneStoreOf(kind).encodeBand(rows, head, from));
    return { rows, sum: sumOf(rows), crc: crc32(rows), encoded };
  };

  const verifyTone: ToneWork['verifyTone'] = (kind, fd, located, index, crc) => {
    const band = located.bands[index]!;
    const bytes = new Uint8Array(band.bytes);
    if (readSync(fd, bytes, 0, band.bytes, band.offset) !== band.bytes) return band.rows;
    const values = toneStoreOf(kind).decodeBand(bytes, located, band);
    const turned = located.oneIsWhite === (head.fire === 'dark') ? 0xff : 0;
    for (let i = 0; i < values.length; i++) values[i] = values[i]! ^ turned;
    return crc32(values) === crc ? 0 : band.rows;
  };

  return { tone, verifyTone };
}
