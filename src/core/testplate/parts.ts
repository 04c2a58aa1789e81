import { textWidthMm } from '../layout/strokefont.ts';
import type { TestPlateLayout } from './layout.ts';

/** What zones are made of: the lists of a layout, to be filled. */
export type Parts = {
  -readonly [Key in
    | 'patches'
    | 'features'
    | 'type'
    | 'ladder'
    | 'paperZones'
    | 'grounds'
    | 'labels']: TestPlateLayout[Key];
} & { strip: TestPlateLayout['strip'] };

/** An empty plate, to be added to. */
export const noParts = (): Parts => ({
  patches: [],
  features: [],
  type: [],
  strip: null,
  ladder: [],
  paperZones: [],
  grounds: [],
  labels: [],
});

/** One shape that a zone can take: its parts about its own upper left corner. */
export interface Shape {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly parts: Parts;
}

/** A zone as a whole, in the shapes it can take, the best looking first. */
export interface Block {
  readonly name: string;
  readonly shapes: readonly Shape[];
}

/** Capitals of labels. Thinner pens and smaller letters do not stand in wood. */
export const CAP_MM = 1.6;
/** Width of their strokes. */
export const PEN_MM = 0.25;
/** A line of labels with the air above it and room for tails. */
export const LINE_MM = 2.6;

/** Rounded to a tenth of a micrometre, so that sums of decimals read as people write them. */
export const tidy = (mm: number): number => Math.round(mm * 1e4) / 1e4;

/** A label in the line that begins at yMm, its left end at xMm. */
export const labelAt = (text: string, xMm: number, yMm: number): Parts['labels'][number] => ({
  text,
  xMm: tidy(xMm),
  yMm: tidy(yMm + 0.4 + CAP_MM),
  capMm: CAP_MM,
});

/** A label centred on xMm, in the line that begins at yMm. */
export const labelOn = (text: string, xMm: number, yMm: number): Parts['labels'][number] =>
  labelAt(text, xMm - textWidthMm(text, CAP_MM) / 2, yMm);

/** A label that ends at xMm, in the line that begins at yMm. */
export const labelBefore = (text: string, xMm: number, yMm: number): Parts['labels'][number] =>
  labelAt(text, xMm - textWidthMm(text, CAP_MM), yMm);

const TAILS = /[gjpqyQ,;()/]/;

/** The box a label keeps for itself: the pen included, tails where it has any, the air beside its letters too. */
export const labelBox = ({ text, xMm, yMm, capMm }: Parts['labels'][number]) => ({
  xMm,
  yMm: yMm - capMm - PEN_MM / 2,
  widthMm: textWidthMm(text, capMm),
  heightMm: capMm * (TAILS.test(text) ? 4 / 3 : 1) + PEN_MM,
});

/** A shape with a heading above it; as wide as the wider of both. */
export function headed(heading: string, { widthMm, heightMm, parts }: Shape): Shape {
  const below = noParts();
  addMoved(below, parts, 0, LINE_MM);
  // a little higher than other labels, whose tails nothing stands under
  below.labels.unshift(labelAt(heading, 0, -0.2));
  return {
    widthMm: tidy(Math.max(widthMm, textWidthMm(heading, CAP_MM))),
    heightMm: tidy(heightMm + LINE_MM),
    parts: below,
  };
}

/** Adds parts to others, moved right and down. */
export function addMoved(to: Parts, from: Parts, dxMm: number, dyMm: number): void {
  const moved = <Placed extends { xMm: number; yMm: number }>(placed: Placed): Placed => ({
    ...placed,
    xMm: tidy(placed.xMm + dxMm),
    yMm: tidy(placed.yMm + dyMm),
  });
  to.patches.push(...from.patches.map(moved));
  to.features.push(...from.features.map(moved));
  to.type.push(...from.type.map(moved));
  to.ladder.push(...from.ladder.map(moved));
  to.paperZones.push(...from.paperZones.map(moved));
  to.grounds.push(...from.grounds.map(moved));
  to.labels.push(...from.labels.map(moved));
  if (from.strip) to.strip = moved(from.strip);
}
