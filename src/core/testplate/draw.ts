import { type Bitmap, complementRow, createBitmap, placeRow } from '../bitmap.ts';
import { MM_PER_INCH, pxFor } from '../geometry.ts';
import { drawStrokes } from '../layout/stroke-raster.ts';
import { textStrokes } from '../layout/strokefont.ts';
import { processes } from '../processes/index.ts';
import { flatPatch, type OpenedScreen } from '../screens/flat.ts';
import { FULL_TONE } from '../tone.ts';
import { TICK_WIDTH_MM, tickMm } from './furniture.ts';
import type { TestFeature, TestPatch, TestPlateLayout } from './layout.ts';
import { PEN_MM } from './parts.ts';
import { type Brush, boxPx, fillBox, fillDisc, fillLeaning, fillStar } from './raster.ts';
import { type LayoutScreen, marksOf, samplePlace } from './samples.ts';
import { CAP_OF_BODY } from './type.ts';

/** The plate's own screen, ready to draw tints. */
export interface TintScreen extends OpenedScreen {
  /** Ink tone asked for → ink tone to screen, 65,536 entries; null where tones need no help to arrive. */
  readonly toneTable: Uint16Array | null;
}

/** Bare paper screened with a patch and cut off again: wider than any trim reaches, and whole bytes. */
const RIM_PX = 128;
/** Patches begin anywhere within so many columns of their screen: few cells of a coarse one are not the same few twice. */
const PHASES_PX = 256;

/** Screens of samples, each built once however many patches share it. */
function openSamples(layout: TestPlateLayout): (screen: LayoutScreen) => TintScreen {
  const place = samplePlace(layout);
  const opened = new Map<string, TintScreen>();
  return (screen) => {
    const key = JSON.stringify(screen);
    const known = opened.get(key);
    if (known) return known;
    const def = marksOf(screen.kind);
    if (!def) throw new Error(`there is no screen called ${screen.kind} that draws marks`);
    const { params } = screen;
    const sample = { def, params, place, tables: def.build?.(params, place), toneTable: null };
    opened.set(key, sample);
    return sample;
  };
}

function drawTint({ bitmap, pxPerMm }: Brush, patch: TestPatch, screen: TintScreen): void {
  const { fromX, toX, fromY, toY } = boxPx(patch, pxPerMm);
  const tone = Math.round(patch.share * FULL_TONE);
  if (tone === 0) return;
  const widthPx = toX - fromX;
  const tint = flatPatch(
    screen,
    screen.toneTable?.[tone] ?? tone,
    widthPx + 2 * RIM_PX,
    toY - fromY + 2 * RIM_PX,
    { rimPx: RIM_PX, xPx: (fromX % PHASES_PX) & ~7, yPx: fromY },
  );
  for (let y = fromY; y < toY; y++) {
    const at = (y - fromY + RIM_PX) * tint.strideBytes;
    // a patch comes as etch, and the picture is still ink
    if (screen.place.etchedSide === 'paper') complementRow(tint.data, at, tint.widthPx);
    placeRow(tint.data, at + RIM_PX / 8, widthPx, bitmap.data, y * bitmap.strideBytes, fromX);
  }
}

function drawFeature(brush: Brush, feature: TestFeature, bit: 0 | 1): void {
  const { shape, direction, sizeMm, xMm, yMm } = feature;
  if (shape === 'disc') fillDisc(brush, xMm + sizeMm / 2, yMm + sizeMm / 2, sizeMm, bit);
  else if (direction === 'diagonal') fillLeaning(brush, feature, sizeMm, bit);
  else fillBox(brush, feature, bit);
}

/** Ticks on a line of the same width, which holds them together where they stand alone. */
function drawRuler(
  brush: Brush,
  { axis, fromMm, lengthMm, stepMm }: TestPlateLayout['rulers'][number],
): void {
  const half = TICK_WIDTH_MM / 2;
  const put = (along: number, wide: number, inward: number): void => {
    const box =
      axis === 'x'
        ? { xMm: fromMm.x + along - half, yMm: fromMm.y - inward, widthMm: wide, heightMm: inward }
        : { xMm: fromMm.x, yMm: fromMm.y + along - half, widthMm: inward, heightMm: wide };
    fillBox(brush, box, 1);
  };
  put(0, lengthMm + TICK_WIDTH_MM, TICK_WIDTH_MM);
  for (let i = 0; i * stepMm <= lengthMm + 1e-6; i++) put(i * stepMm, TICK_WIDTH_MM, tickMm(i, stepMm));
}

function drawLettering({ bitmap, pxPerMm }: Brush, layout: TestPlateLayout): void {
  for (const { text, xMm, yMm, capMm } of layout.labels)
    drawStrokes(
      bitmap,
      textStrokes(text.replace('{id}', layout.id), { xMm, yMm, heightMm: capMm }),
      // under two pixels a pen leaves rags
      { pxPerMm, penMm: Math.max(PEN_MM, 2 / pxPerMm) },
    );
  for (const { text, xMm, yMm, heightMm } of layout.type) {
    const capMm = heightMm * CAP_OF_BODY;
    const place = { xMm, yMm: yMm + heightMm * 0.8, heightMm: capMm };
    drawStrokes(bitmap, textStrokes(text, place), { pxPerMm, penMm: Math.max(capMm / 8, 1 / pxPerMm) });
  }
}

/**
 * Draws everything of a layout into a bitmap of ink (1) and paper (0) of the plate's size, print-reading. What is
 * there already stays under it; shapes take the pixels whose centres they hold. `screen` draws the tints that name
 * no screen of their own.
 */
export function drawTestPlate(bitmap: Bitmap, layout: TestPlateLayout, screen: TintScreen): void {
  const brush = { bitmap, pxPerMm: layout.dpi / MM_PER_INCH };
  const { prints } = processes[layout.process];
  const inkOf = (side: TestFeature['side']): 0 | 1 => (side === prints ? 1 : 0);
  const sampleFor = openSamples(layout);
  for (const ground of layout.grounds) fillBox(brush, ground, 1);
  for (const patch of layout.patches) drawTint(brush, patch, patch.screen ? sampleFor(patch.screen) : screen);
  for (const feature of layout.features) drawFeature(brush, feature, inkOf(feature.side));
  for (const rung of layout.ladder) fillBox(brush, rung, inkOf('etched'));
  for (const { xMm, yMm, diameterMm, kind } of layout.fiducials) {
    fillDisc(brush, xMm, yMm, diameterMm, 1);
    if (kind === 'ring') fillDisc(brush, xMm, yMm, diameterMm / 2, 0);
  }
  for (const ruler of layout.rulers) drawRuler(brush, ruler);
  for (const { xMm, yMm, diameterMm, spokes } of layout.stars) fillStar(brush, xMm, yMm, diameterMm, spokes);
  drawLettering(brush, layout);
}

/** The ink picture of a layout on a plate of its size. `shared` puts it into memory that workers can write to. */
export function testPlateInk(layout: TestPlateLayout, screen: TintScreen, shared = false): Bitmap {
  const { widthMm, heightMm, dpi } = layout;
  const bitmap = createBitmap(pxFor(widthMm, dpi), pxFor(heightMm, dpi), shared);
  drawTestPlate(bitmap, layout, screen);
  return bitmap;
}
