import { type Bitmap, countBits } from '../../../core/bitmap.ts';
import { MM_PER_INCH, type PlateLayout } from '../../../core/geometry.ts';
import { parseColour } from '../../../core/proof/colour.ts';
import type { Areas, AreasWay, CutPlan, SetFinding, SetInk } from '../../../core/separations/contract.ts';
import { swallowSmall } from '../../../core/separations/swallow.ts';
import type { ColourPicture } from '../../../io/read/decode.ts';
import type { PictureFacts } from '../../../io/read/facts.ts';
import { cutUse } from '../../../job/outline.ts';
import type { RunContext } from '../../plate/context.ts';
import { cutDivision } from '../cut.ts';
import type { Division } from '../division.ts';
import { drawnSource } from '../drawn.ts';
import type { SeparateRequest } from '../request.ts';
import { labelColours, labelDarkness } from '../source/labels.ts';
import { inksFor } from './inks.ts';
import type { LaidPicture } from './laid.ts';
import { openMap } from './piece-map.ts';

/** Labels of the picture for a method that shapes areas, small pieces swallowed, with what that took. */
async function areasOf(
  { settings, base, looking }: SeparateRequest,
  way: AreasWay,
  picture: ColourPicture,
  layout: PlateLayout,
  inks: readonly SetInk[],
  { signal }: RunContext,
): Promise<{ areas: Areas; findings: SetFinding[] }> {
  const { dpi, rotateDeg } = base.job;
  const pxPerMm = dpi / MM_PER_INCH;
  const turned = { picture, rotateDeg };
  const labels =
    way.by === 'colours'
      ? await labelColours(
          turned,
          layout,
          [parseColour(looking.paperColour, 'paper'), ...inks.map(({ light }) => light)],
          signal,
        )
      : await labelDarkness(turned, layout, way.levels!(inks.length), way.smoothMm * pxPerMm, signal);
  const smallestPx = settings.smallestMm * pxPerMm;
  const lines = [0, ...way.lines(inks).map((ink) => ink + 1)];
  const { count, areaPx } = swallowSmall(labels, { smallestPx, lines });
  const findings = inks.flatMap((_, plate): SetFinding[] =>
    count[plate + 1]! > 0
      ? [{ code: 'swallowed', plate, count: count[plate + 1]!, areaPx: areaPx[plate + 1]! }]
      : [],
  );
  return { areas: { labels, asked: null }, findings };
}

/** Plates with nothing to print are told by their plate as well; here in the words of the set. */
const unseen = (plates: readonly Bitmap[]): SetFinding[] =>
  plates.flatMap(({ data }, plate) =>
    countBits(data) === 0 ? [{ code: 'never-seen', plate, count: 0, areaPx: 0 }] : [],
  );

/** What plates of areas come from, besides the areas. */
export interface ShapedFrom {
  /** Pictures that they come from: one for all plates, or one for each. */
  readonly told: readonly PictureFacts[];
  /** Of the one picture; null where each plate has its own. */
  readonly facts: PictureFacts | null;
  readonly layout: PlateLayout;
  readonly inks: readonly SetInk[];
  /** What was found while areas were made. */
  readonly findings: readonly SetFinding[];
}

/** Has a method shape its plates from areas; `cut` is what it cuts out of sheets, null for none. */
export function shaped(
  { settings, base }: SeparateRequest,
  way: AreasWay,
  areas: Areas,
  { told, facts, layout, inks, findings: before }: ShapedFrom,
  { scratchFolder, signal }: RunContext,
): { division: Division; cut: { cut: CutPlan; faces: readonly Bitmap[] } | null } {
  const pxPerMm = base.job.dpi / MM_PER_INCH;
  const { plates, findings, cut } = way.shape(areas, {
    pxPerMm,
    inks,
    smallestPx: settings.smallestMm * pxPerMm,
    kerfMm: way.cuts ? cutUse(base.job, base.making, way.cuts).kerfMm : 0,
  });
  const division: Division = {
    inks,
    plates: inks,
    draws: 'areas',
    onRaster: true,
    layout,
    facts,
    findings: [...before, ...findings, ...(cut ? [] : unseen(plates))],
    areas: plates,
    cut: null,
    open: (plate) => drawnSource(plates[plate]!, told[plate] ?? told[0]!, layout, scratchFolder, signal),
    close: () => undefined,
  };
  return { division, cut: cut ? { cut, faces: plates } : null };
}

/** A picture divided into areas by its own colours, or by those of another picture that lies over it. */
export async function divideAreas(
  request: SeparateRequest,
  way: AreasWay,
  { picture, layout }: LaidPicture,
  context: RunContext,
): Promise<Division> {
  const { rotateDeg } = request.base.job;
  const { facts } = picture;
  const map = request.pieceMap ? await openMap(request, request.pieceMap, layout, context) : null;
  try {
    const divides = map?.picture ?? picture;
    const inks = inksFor(request, divides, rotateDeg);
    const { areas, findings } = await areasOf(request, way, divides, map?.layout ?? layout, inks, context);
    const from = { told: [facts], facts, layout, inks, findings };
    const { division, cut } = shaped(request, way, areas, from, context);
    if (!cut) return division;
    const told = map && { name: map.picture.facts.name, sha256: map.picture.facts.sha256 };
    const carried = way.faces?.(map !== null) === 'picture' ? { picture, rotateDeg } : null;
    return await cutDivision(request, division, { ...cut, map: told }, carried, facts, context);
  } finally {
    map?.picture.close();
  }
}
