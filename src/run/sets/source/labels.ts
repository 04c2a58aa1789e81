import type { PlateLayout } from '../../../core/geometry.ts';
import type { Light } from '../../../core/proof/colour.ts';
import { openResampler } from '../../../core/resample/index.ts';
import type { Labels } from '../../../core/separations/contract.ts';
import { nearestTable, paletteCell } from '../../../core/separations/palette.ts';
import { smoothed, type ToneRows } from '../../../core/separations/smooth.ts';
import { FULL_TONE } from '../../../core/tone.ts';
import { darkSource, eachRow, planeSource, type Turned, uprightPlanes } from './upright.ts';

/** Gives every pixel of the plate's picture box to the nearest of these colours, of which the first is the paper. */
export async function labelColours(
  turned: Turned,
  { box, x, y }: PlateLayout,
  colours: readonly Light[],
  signal: AbortSignal,
): Promise<Labels> {
  const { widthPx, heightPx } = box;
  const table = nearestTable(colours);
  const channels = uprightPlanes(turned).map((plane) => openResampler(planeSource(plane), x, y));
  const [reds, greens, blues] = channels.map(() => new Uint16Array(widthPx)) as [
    Uint16Array,
    Uint16Array,
    Uint16Array,
  ];
  const data = new Uint8Array(widthPx * heightPx);
  await eachRow(heightPx, signal, (row) => {
    channels[0]!(row, reds);
    channels[1]!(row, greens);
    channels[2]!(row, blues);
    for (let at = row * widthPx, i = 0; i < widthPx; i++, at++)
      data[at] = table[paletteCell(reds[i]! >> 8, greens[i]! >> 8, blues[i]! >> 8)]!;
  });
  return { widthPx, heightPx, data };
}

/** Labels every pixel with the number of levels that it is as dark as; `levels` rise, 0 … 1. */
export async function labelDarkness(
  turned: Turned,
  { box, x, y }: PlateLayout,
  levels: readonly number[],
  smoothPx: number,
  signal: AbortSignal,
): Promise<Labels> {
  const { widthPx, heightPx } = box;
  const rows: ToneRows = smoothed(openResampler(darkSource(turned), x, y), box, smoothPx);
  const labelOf = new Uint8Array(FULL_TONE + 1);
  for (const level of levels)
    for (let tone = Math.ceil(level * FULL_TONE); tone <= FULL_TONE; tone++)
      labelOf[tone] = labelOf[tone]! + 1;
  const tone = new Uint16Array(widthPx);
  const data = new Uint8Array(widthPx * heightPx);
  await eachRow(heightPx, signal, (row) => {
    rows(row, tone);
    for (let at = row * widthPx, i = 0; i < widthPx; i++, at++) data[at] = labelOf[tone[i]!]!;
  });
  return { widthPx, heightPx, data };
}
