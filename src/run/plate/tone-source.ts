import type { Orientation } from '../../core/geometry-orientation.ts';
import { lastMade } from '../../core/last-made.ts';
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

/** Tones from the middle by source code; of 65,536 codes they take 10 ms, and a plate asks for them at every opening of its picture. */
const centredTones = lastMade(
  ({ codes, settings }: { readonly codes: SourceCodes; readonly settings: ToneSettings }): Int16Array => {
    const tones = toneTable(codes, settings);
    const table = new Int16Array(tones.length);
    for (let code = 0; code < table.length; code++) table[code] = tones[code]! - TONE_CENTRE;
    return table;
  },
  (wish) => JSON.stringify(wish),
);

/** Opens a picture as rows of ink tone, upright, in this thread; the dots of a halftone are taken out at the ruling given. */
export function openToneSource(
  source: GreySource,
  settings: ToneSettings,
  descreenPerPx: number | null = null,
): ToneSource {
  const rows = openRows(source.scratch, source.orientation);
  const table = centredTones({ codes: source.codes, settings });
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
