import type { Orientation } from '../../core/geometry-orientation.ts';
import { openDescreen } from '../../core/picture/descreen.ts';
import { TONE_CENTRE, type ToneSource } from '../../core/resample/index.ts';
import { type SourceCodes, type ToneSettings, toneTable } from '../../core/tone.ts';
import { openRows, type SampleRow } from '../../io/rows.ts';
import type { Scratch } from '../../io/scratch.ts';

/** The picture as it lies in its scratch file; plain data. */
export interface GreySource {
  readonly scratch: Scratch;
  readonly codes: SourceCodes;
  /** EXIF orientation and the wished turn, composed. */
  readonly orientation: Orientation;
}

/** Opens a picture as rows of ink tone, upright, in this thread; the dots of a halftone are taken out at the ruling given. */
export function openToneSource(
  source: GreySource,
  settings: ToneSettings,
  descreenPerPx: number | null = null,
): ToneSource {
  const rows = openRows(source.scratch, source.orientation);
  const tones = toneTable(source.codes, settings);
  const table = Int16Array.from(tones, (tone) => tone - TONE_CENTRE);
  const codes = rows.newRow();
  const toned: ToneSource = {
    widthPx: rows.widthPx,
    heightPx: rows.heightPx,
    readRow(y, into, at) {
      rows.read(y, codes);
      layTones(codes, table, into, at);
    },
  };
  return descreenPerPx === null ? toned : openDescreen(toned, descreenPerPx);
}

function layTones(codes: SampleRow, table: Int16Array, into: Int16Array, at: number): void {
  for (let x = 0; x < codes.length; x++) into[at + x] = table[codes[x]!]!;
}
