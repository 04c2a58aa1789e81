import { TONE_CENTRE, type ToneSource } from '../core/resample.ts';
import { toneTable } from '../core/tone.ts';
import { openRows } from '../io/rows.ts';
import type { MakeSetup } from './setup.ts';

/** Opens the picture of a plate as rows of ink tone, upright, in this thread. */
export function openToneSource(setup: MakeSetup): ToneSource {
  const rows = openRows(setup.scratch, setup.orientation);
  const tones = toneTable(setup.codes, setup.plan.tone);
  const table = Int16Array.from(tones, (tone) => tone - TONE_CENTRE);
  const codes = rows.newRow();
  return {
    widthPx: rows.widthPx,
    heightPx: rows.heightPx,
    readRow(y, into, at) {
      rows.read(y, codes);
      for (let x = 0; x < codes.length; x++) into[at + x] = table[codes[x]!]!;
    },
  };
}
