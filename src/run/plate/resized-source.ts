import { type PlaneSize, resized } from '../../core/proof/box.ts';
import { openRows } from '../../io/rows.ts';
import type { GreySource } from './tone-source.ts';

/** A picture as it was read, upright, its codes averaged to `size`: 0 = black … 255 = white, row by row. */
export function resizedSource(
  { scratch, orientation }: Pick<GreySource, 'scratch' | 'orientation'>,
  size: PlaneSize,
): Uint8Array {
  const rows = openRows(scratch, orientation);
  const codes = rows.newRow();
  const most = rows.bytesPerSample === 1 ? 255 : 65535;
  const read = resized(
    (y, into) => {
      rows.read(y, codes);
      for (let x = 0; x < into.length; x++) into[x] = codes[x]! / most;
    },
    rows,
    size,
  );
  const row = new Float32Array(size.widthPx);
  const greys = new Uint8Array(size.widthPx * size.heightPx);
  for (let y = 0; y < size.heightPx; y++) {
    read(y, row);
    for (let x = 0; x < row.length; x++) greys[y * row.length + x] = Math.round(255 * row[x]!);
  }
  return greys;
}
