/** A picture of a finished plate, drawn on all threads. */

import { openShrunk } from '../../core/proof/shrink.ts';
import type { EncodedBand } from '../../io/formats/contract.ts';
import { proofBandsIn, proofPngBack, proofPngFront, type RgbHead } from '../../io/proof-png.ts';
import { inOrder } from '../plate/bands.ts';
import type { Pool } from '../pool.ts';
import type { Drawing } from './drawing.ts';
import { type ShownSmall, shownAs, shrinkFor } from './shown-small.ts';

/** A drawing that was made, and the smaller picture of it where one was wanted. */
export interface Drawn {
  readonly head: RgbHead;
  readonly small: ShownSmall | null;
}

/** Takes the pieces of a file in order. */
type Write = (pieces: readonly Uint8Array[]) => Promise<void>;

/**
 * Draws a picture of a plate and hands its PNG file on in pieces; `write` null makes no file. Where it is to go on the
 * sheet too, no side of the smaller picture is longer than `smallPx`; null makes none.
 */
export async function draw(
  plate: number,
  wanted: Omit<Drawing, 'file' | 'shrinkBy'>,
  write: Write | null,
  smallPx: number | null,
  pool: Pool,
  signal: AbortSignal,
): Promise<Drawn> {
  const file = write !== null;
  const head = await pool.run({
    do: 'drawingHead',
    plate,
    args: [{ ...wanted, file, shrinkBy: null }],
  });
  const shrinkBy = smallPx === null ? null : shrinkFor(head, smallPx);
  const drawing: Drawing = { ...wanted, file, shrinkBy };
  const small = shrinkBy === null ? null : openShrunk(head, shrinkBy);
  const sums: Pick<EncodedBand, 'adler' | 'rawBytes'>[] = [];
  await write?.([proofPngFront(head)]);
  await inOrder(
    proofBandsIn(head.heightPx),
    pool.threads + 1,
    signal,
    (band) => pool.run({ do: 'drawBand', plate, args: [drawing, band] }),
    async ({ encoded, light }) => {
      if (light) small?.add(light);
      for (const { bytes, adler, rawBytes } of encoded) {
        sums.push({ adler: adler!, rawBytes: rawBytes! });
        await write?.([bytes]);
      }
    },
  );
  await write?.([proofPngBack(sums)]);
  return { head, small: small && shownAs(small.picture(), head) };
}
