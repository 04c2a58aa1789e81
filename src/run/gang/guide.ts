import type { BoxPx } from '../../core/gang/contract.ts';
import { MM_PER_INCH, mmFor } from '../../core/geometry.ts';
import type { OutlinePath } from '../../core/outlines/contract.ts';
import { flattened } from '../../core/outlines/measure.ts';
import {
  areaMm2,
  common,
  loopsOf,
  offset,
  type Polygons,
  polygonsOf,
  simplified,
  united,
  without,
} from '../../core/outlines/polygons.ts';
import { pixelsIn, spansOf } from '../../core/outlines/spans.ts';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import type { Making } from '../../job/making.ts';
import type { SheetMm } from './common.ts';
import type { LaidItem, LaidSheet } from './layout.ts';
import type { SheetGuide } from './sheet-guide.ts';

/** A line around a plate of a sheet. */
interface GuidedLine {
  readonly one: LaidItem;
  /** In mm of the sheet. */
  readonly paths: readonly OutlinePath[];
  /** True where the plate has brought its guide in its bits. */
  readonly isEngraved: boolean;
}

/** How true the edge of a strip is, as for plates. */
const STRIP_MM = 0.01;

/** Width of a guide, as narrow as holds in waste that is left alone: a pixel more, since slanting lines lose up to one to the raster. */
export const gangGuideMm = (process: ProcessKind, { sheet }: Making, dpi: number): number =>
  (sheet.limits[processes[process].screenLimits.etched]?.mm ?? 0) + MM_PER_INCH / dpi;

const boxPolygons = (box: BoxPx, dpi: number): Polygons => {
  const [left, top] = [mmFor(box.xPx, dpi), mmFor(box.yPx, dpi)];
  const [right, bottom] = [mmFor(box.xPx + box.widthPx, dpi), mmFor(box.yPx + box.heightPx, dpi)];
  return polygonsOf([
    [
      { x: left, y: top },
      { x: right, y: top },
      { x: right, y: bottom },
      { x: left, y: bottom },
    ],
  ]);
};

/**
 * The guides of a sheet: a strip `widthMm` wide outside every line, without what lies on any plate, whose bits stay as they
 * are, on lettering or beyond the sheet. Null where there are no lines.
 */
export function guideFor(
  { laid }: LaidSheet,
  lines: readonly GuidedLine[],
  sheet: SheetMm,
  dpi: number,
  widthMm: number,
): SheetGuide | null {
  if (lines.length === 0) return null;
  const pxPerMm = dpi / MM_PER_INCH;
  const taken = laid
    .flatMap(({ box, label }) => (label ? [box, label] : [box]))
    .reduce<Polygons>((all, box) => united(all, boxPolygons(box, dpi)), []);
  let strips: Polygons = [];
  let engravedMm2 = 0;
  for (const { one, paths, isEngraved } of lines) {
    const piece = simplified(polygonsOf(paths.map(flattened)), STRIP_MM);
    const strip = without(offset(piece, widthMm, 'round', STRIP_MM), piece);
    if (isEngraved) engravedMm2 += areaMm2(common(strip, boxPolygons(one.box, dpi)));
    strips = united(strips, strip);
  }
  const [widthPx, heightPx] = [sheet.widthMm, sheet.heightMm].map((mm) => Math.floor(mm * pxPerMm));
  const spans = spansOf(loopsOf(without(strips, taken)), pxPerMm, widthPx!, heightPx!);
  const engraved = engravedMm2 + pixelsIn(spans) / pxPerMm ** 2;
  return { spans, share: Math.min(1, engraved / areaMm2(strips)) };
}
