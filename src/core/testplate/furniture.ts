import type { BoxMm, TestPlateLayout } from './layout.ts';
import { LINE_MM, labelOn, type Parts, tidy } from './parts.ts';
import { DISC_MM, EDGE_MM } from './strip-size.ts';

const STAR_MM = 5;
const SPOKES = 18;
/** From a corner's disc to its star, centre to centre, in x and in y: 1.7 mm stay bare between them. */
const STAR_OFF_MM = 4.4;
/** From the plate's edge to where a corner's disc and star end. */
const CORNER_REACH_MM = EDGE_MM + DISC_MM / 2 + STAR_OFF_MM + STAR_MM / 2;
/** Width of a ruler's ticks and of the line they stand on. */
export const TICK_WIDTH_MM = 0.3;
const TALL_TICK_MM = 2.6;
const LONGEST_MM = { x: 100, y: 80 } as const;

/** What stands in the corners, along two edges and in the middle of any test plate. */
export interface Furniture extends Pick<TestPlateLayout, 'fiducials' | 'rulers' | 'stars'> {
  readonly labels: Parts['labels'];
  /** Boxes that zones must keep out of. */
  readonly taken: readonly BoxMm[];
}

const box = (xMm: number, yMm: number, widthMm: number, heightMm: number): BoxMm => ({
  xMm: tidy(xMm),
  yMm: tidy(yMm),
  widthMm: tidy(widthMm),
  heightMm: tidy(heightMm),
});

/** As much as fits of what a ruler should have, in whole centimetres. */
const lengthFor = (axis: 'x' | 'y', roomMm: number): number =>
  Math.max(10, Math.min(LONGEST_MM[axis], Math.floor(roomMm / 10) * 10));

/** Centres of the discs in the corners of a print, and which way they lie from its middle. */
function cornersOf(widthMm: number, heightMm: number) {
  const near = EDGE_MM + DISC_MM / 2;
  return [-1, 1].flatMap((down) =>
    [-1, 1].map((across) => ({
      xMm: tidy(across < 0 ? near : widthMm - near),
      yMm: tidy(down < 0 ? near : heightMm - near),
      across,
      down,
    })),
  );
}

/** Three discs and a ring, which marks the lower right corner of the print. */
export const fiducialsOf = (widthMm: number, heightMm: number): Furniture['fiducials'] =>
  cornersOf(widthMm, heightMm).map(({ xMm, yMm, across, down }) => ({
    xMm,
    yMm,
    diameterMm: DISC_MM,
    kind: across > 0 && down > 0 ? 'ring' : 'solid',
  }));

/** Depth of a ruler's ticks, for whoever draws it: tenths are taller, fives a little. */
export function tickMm(index: number, stepMm: number): number {
  const mm = Math.round(index * stepMm);
  if (mm % 10 === 0) return TALL_TICK_MM;
  return mm % 5 === 0 ? 2 : 1.4;
}

/** Lays out fiducials, stars and rulers. The ring marks the lower right corner of the print. */
export function furnish(widthMm: number, heightMm: number): Furniture {
  const corners = cornersOf(widthMm, heightMm);
  const fiducials = fiducialsOf(widthMm, heightMm);
  const star = (xMm: number, yMm: number) => ({
    xMm: tidy(xMm),
    yMm: tidy(yMm),
    diameterMm: STAR_MM,
    spokes: SPOKES,
  });
  const stars = [
    ...corners.map(({ xMm, yMm, across, down }) =>
      star(xMm - across * STAR_OFF_MM, yMm - down * STAR_OFF_MM),
    ),
    star(widthMm / 2, heightMm / 2),
  ];
  const alongX = lengthFor('x', widthMm - 2 * CORNER_REACH_MM);
  const alongY = lengthFor('y', heightMm - 2 * (EDGE_MM + DISC_MM + 1));
  const x0 = tidy((widthMm - alongX) / 2);
  const y0 = tidy((heightMm - alongY) / 2);
  const rulers: Furniture['rulers'] = [
    { axis: 'x', fromMm: { x: x0, y: heightMm - EDGE_MM }, lengthMm: alongX, stepMm: 1 },
    { axis: 'y', fromMm: { x: EDGE_MM, y: y0 }, lengthMm: alongY, stepMm: 1 },
  ];
  const rulerRowMm = TALL_TICK_MM + LINE_MM;
  const upY = heightMm - EDGE_MM - rulerRowMm;
  const labels: Parts['labels'] = [];
  for (let mm = 10; mm < alongX; mm += 10) labels.push(labelOn(String(mm), x0 + mm, upY));
  // the stars of two corners stand where the outer numbers would
  for (let mm = 10; mm < alongY; mm += 10)
    if (y0 + mm > CORNER_REACH_MM + 1 && y0 + mm < heightMm - CORNER_REACH_MM - 1)
      labels.push({
        ...labelOn(String(mm), 0, y0 + mm - LINE_MM / 2),
        xMm: tidy(EDGE_MM + TALL_TICK_MM + 0.4),
      });
  return {
    fiducials,
    rulers,
    stars,
    labels,
    taken: [
      box(0, 0, CORNER_REACH_MM, heightMm),
      box(widthMm - CORNER_REACH_MM, 0, CORNER_REACH_MM, CORNER_REACH_MM + 1),
      box(widthMm - CORNER_REACH_MM, heightMm - CORNER_REACH_MM - 1, CORNER_REACH_MM, CORNER_REACH_MM + 1),
      box(0, upY - 1, widthMm, EDGE_MM + rulerRowMm + 1),
      box((widthMm - STAR_MM) / 2 - 1, (heightMm - STAR_MM) / 2 - 1, STAR_MM + 2, STAR_MM + 2),
    ],
  };
}
