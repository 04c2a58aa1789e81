import { complementRow, createBitmap, fillRow } from '../bitmap.ts';
import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { drawStrokes } from '../layout/stroke-raster.ts';
import { textStrokes, textWidthMm } from '../layout/strokefont.ts';
import type { BoxMm } from '../outlines/contract.ts';
import type { Inset } from '../plate.ts';
import type { AidDef, AidMark, RegisterPlace, ScaleSide } from './contract.ts';
import { type AidKind, aids } from './index.ts';
import { stretchedMm } from './stretch.ts';

const cannot = (kind: string, code: string, message: string, hint: string): EtchError =>
  new EtchError('usage', code, `Drawing the register aid ${kind}: ${message}`, hint);

/** A length as it is said, to a hundredth of a mm. */
const shown = (length: number): number => Math.round(length * 100) / 100;

const mm = (length: number): string => `${Math.ceil(length * 10 - 1e-9) / 10} mm`;

/** EtchError `register-other-matrix`, `register-line-too-wide`, `register-has-no-room`. */
function checkRoom(aid: AidDef, { widthMm, heightMm, borderMm, lineMm, process: way }: RegisterPlace): void {
  const { kind, matrices, mostLineMm } = aid;
  if (!matrices.includes(way.matrix))
    throw cannot(
      kind,
      'register-other-matrix',
      `it is made for a ${matrices.join(' or a ')}, and ${way.kind} prints from a ${way.matrix}`,
      `Choose another --register: ${Object.values(aids)
        .filter((other: AidDef) => other.matrices.includes(way.matrix))
        .map((other) => other.kind)
        .join(', ')}.`,
    );
  if (lineMm > mostLineMm)
    throw cannot(
      kind,
      'register-line-too-wide',
      `lines of ${lineMm} mm run into each other; it can be read up to ${mostLineMm} mm`,
      'Choose another --register, or a material that holds finer lines.',
    );
  const room = aid.room(lineMm);
  if (borderMm < room.borderMm)
    throw cannot(
      kind,
      'register-has-no-room',
      `the border is ${borderMm} mm, and it needs ${mm(room.borderMm)}`,
      `Give --border ${mm(room.borderMm)} or more to all plates of the set, or choose another --register.`,
    );
  const [short, long] = [Math.min(widthMm, heightMm), Math.max(widthMm, heightMm)];
  if (short < room.shortSideMm || long < room.longSideMm)
    throw cannot(
      kind,
      'register-has-no-room',
      `the canvas of ${shown(widthMm)} × ${shown(heightMm)} mm is too small: it needs ${mm(Math.max(room.longSideMm, room.shortSideMm))} one way and ${mm(room.shortSideMm)} the other`,
      'Choose another --register, or a larger canvas.',
    );
}

/** A box in pixels of a plate made larger: of areas the pixels whose middles they hold, around strokes all they touch. */
function pixelsOf({ xMm, yMm, widthMm, heightMm }: BoxMm, { dpi, stretch }: RegisterPlace, touched: boolean) {
  const pxPerMm = dpi / MM_PER_INCH;
  const x = (at: number): number => stretchedMm(at, stretch.x) * pxPerMm;
  const y = (at: number): number => stretchedMm(at, stretch.y) * pxPerMm;
  const first = touched ? Math.floor : (px: number): number => Math.ceil(px - 0.5);
  const behind = touched ? Math.ceil : first;
  return {
    left: Math.max(0, first(x(xMm))),
    top: Math.max(0, first(y(yMm))),
    right: behind(x(xMm + widthMm)),
    bottom: behind(y(yMm + heightMm)),
  };
}

/** Ink of a mark, drawn where it lies on the plate. */
function inkOf({ box, strokes, areas }: AidMark, place: RegisterPlace): Inset {
  const pxPerMm = place.dpi / MM_PER_INCH;
  const { left: xPx, top: yPx, right, bottom } = pixelsOf(box, place, strokes.length > 0);
  const etch = createBitmap(right - xPx, bottom - yPx);
  for (const area of areas) {
    const { left, top, right: end, bottom: below } = pixelsOf(area, place, false);
    for (let y = top - yPx; y < below - yPx; y++)
      fillRow(etch.data, y * etch.strideBytes, left - xPx, end - xPx, 1);
  }
  const moved = strokes.map((stroke) =>
    stroke.map(({ xMm, yMm }) => ({
      xMm: stretchedMm(xMm, place.stretch.x) - xPx / pxPerMm,
      yMm: stretchedMm(yMm, place.stretch.y) - yPx / pxPerMm,
    })),
  );
  // under two pixels a pen leaves rags
  drawStrokes(etch, moved, { pxPerMm, penMm: Math.max(place.lineMm, 2 / pxPerMm) });
  return { xPx, yPx, etch };
}

/** A mark as it is etched: where paper is etched, all around it. */
function etched(mark: AidMark, place: RegisterPlace): Inset {
  const inset = inkOf(mark, place);
  const { data, strideBytes, widthPx, heightPx } = inset.etch;
  if (place.process.etches === 'paper')
    for (let y = 0; y < heightPx; y++) complementRow(data, y * strideBytes, widthPx);
  return inset;
}

/**
 * An aid as it is drawn into the waste of a plate of the set, print-reading: at the same places of the print on every
 * plate, whatever each is stretched by. EtchError `register-other-matrix`, `register-line-too-wide`, `register-has-no-room`.
 */
export function registerInsets(kind: AidKind, place: RegisterPlace, side: ScaleSide): Inset[] {
  const aid: AidDef = aids[kind];
  checkRoom(aid, place);
  return aid.marks(place, side).map((mark) => etched(mark, place));
}

/** Where a note stands: from the upper left corner, and the least and the usual height of its capitals. */
const NOTE_MM = { left: 2, top: 1, least: 1.5, usual: 3 } as const;
/** Tails hang a third of the capitals' height below the line. */
const TAIL = 1 / 3;

/**
 * A line of lettering at the head of the waste, an arrow to the head of the print before it; print-reading, so that it
 * reads as the plate does. Null where it has no room.
 */
export function noteInset(text: string, place: RegisterPlace): Inset | null {
  const { borderMm, widthMm, lineMm } = place;
  const heightMm = Math.min(
    NOTE_MM.usual,
    (borderMm - 2 * NOTE_MM.top - lineMm) / (1 + TAIL),
    (widthMm - 2 * NOTE_MM.left - lineMm) / (textWidthMm(text, 1) + 1),
  );
  if (heightMm < NOTE_MM.least) return null;
  const left = NOTE_MM.left + lineMm / 2;
  const top = NOTE_MM.top + lineMm / 2;
  const at = (x: number, y: number) => ({ xMm: left + x * heightMm, yMm: top + y * heightMm });
  const strokes = [
    [at(0.35, 1), at(0.35, 0)],
    [at(0, 0.35), at(0.35, 0), at(0.7, 0.35)],
    ...textStrokes(text, { heightMm, xMm: left + heightMm, yMm: top + heightMm }),
  ];
  const box = {
    xMm: NOTE_MM.left,
    yMm: NOTE_MM.top,
    widthMm: (textWidthMm(text, 1) + 1) * heightMm + lineMm,
    heightMm: (1 + TAIL) * heightMm + lineMm,
  };
  return etched({ box, strokes, areas: [] }, place);
}

/** What is engraved to the depth of a shelf in a pass by itself, print-reading: 1 is etched. Empty for aids without one. */
export function registerShelf(kind: AidKind, place: RegisterPlace): Inset[] {
  const aid: AidDef = aids[kind];
  checkRoom(aid, place);
  const boxes = aid.shelf(place)?.boxes ?? [];
  return boxes.map((box) => inkOf({ box, strokes: [], areas: [box] }, place));
}
