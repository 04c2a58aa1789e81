import { EtchError } from '../../core/errors.ts';
import { mmFor } from '../../core/geometry.ts';
import { outlines } from '../../core/outlines/index.ts';
import { measurePaths } from '../../core/outlines/measure.ts';
import { mirroredPaths, movedPaths, type Outline, outlinePaths } from '../../core/outlines/paths.ts';
import {
  areaMm2,
  boxMm,
  loopsOf,
  offset,
  type Polygons,
  simplified,
  without,
} from '../../core/outlines/polygons.ts';
import { countInSpans, pixelsIn, type Spans, spansOf } from '../../core/outlines/spans.ts';
import { processes } from '../../core/processes/index.ts';
import { colourDigits } from '../../core/proof/colour.ts';
import { screens } from '../../core/screens/index.ts';
import { type OutlinePage, STROKE_MM } from '../../io/outlines/drawing.ts';
import { keepClearMm } from '../../job/hold-limits.ts';
import type { Making } from '../../job/making.ts';
import { type OutlineWish, outlineBits } from '../../job/outline.ts';
import type { Plan } from '../../job/plan.ts';
import type { Job } from '../../job/schema.ts';
import { narrowest } from '../../job/screen-place.ts';
import type { OutlineFacts } from '../../report/outline.ts';
import type { JudgeSetup } from '../plate/setup.ts';
import { outlinePage } from './page.ts';
import { type ShapeSource, traceShape } from './trace-shape.ts';

/** An outline laid on its plate, before the plate is made. */
export interface PlannedOutline {
  /** The line to be engraved in the waste; null for none. */
  readonly guide: Spans | null;
  /** The outline as it is reported and drawn, once the plate is finished; `setup` null where it has no bits. */
  finish(setup: JudgeSetup | null): {
    readonly facts: OutlineFacts;
    page(name: string): OutlinePage;
  };
}

interface LaidOutline {
  readonly wish: OutlineWish;
  readonly outline: Outline;
  readonly traced: OutlineFacts['traced'];
  /** Size of the raster. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly mirrored: boolean;
  /** The line to be engraved in the waste; null for none. */
  readonly guide: { readonly spans: Spans; readonly share: number } | null;
  /** What the line, and the bits of a guide, hang on; for the report's job. */
  readonly settings: Readonly<Record<string, unknown>>;
}

/** A piece that is this share of the plate has its edges judged with the plate's. */
const WHOLE_PLATE = 0.999;

/** How true the edge of a strip is: a fifth of a pixel at 500 dpi. */
const STRIP_MM = 0.01;

const pixelsPerMm = ({ layout }: Plan, dpi: number): number => layout.widthPx / mmFor(layout.widthPx, dpi);

/** The pixels between a piece and the piece grown by `mm`, or drawn in where that is negative. */
function stripOf(piece: Polygons, mm: number, plan: Plan, dpi: number): { spans: Spans; share: number } {
  const plain = simplified(piece, STRIP_MM);
  const other = offset(plain, mm, 'round', STRIP_MM);
  const strip = mm > 0 ? without(other, plain) : without(plain, other);
  const pxPerMm = pixelsPerMm(plan, dpi);
  const { widthPx, heightPx } = plan.layout;
  const spans = spansOf(loopsOf(strip), pxPerMm, widthPx, heightPx);
  return { spans, share: Math.min(1, pixelsIn(spans) / (areaMm2(strip) * pxPerMm * pxPerMm)) };
}

/** A line that is seen in the waste, as narrow as holds. */
function guideWidthMm(job: Job, making: Making, plan: Plan): number {
  const { minEtchedMm, minKeptMm } = narrowest(job, making.sheet);
  const holdsMm = plan.finish.border === 'kept' ? minEtchedMm : minKeptMm;
  // a pixel more, since slanting lines lose up to one to the raster
  return holdsMm + 1 / pixelsPerMm(plan, job.dpi);
}

/** The limits that the width of a guide comes from, where they are known. */
const knownLimits = (job: Job, { sheet }: Making): Record<string, number> =>
  Object.fromEntries(Object.entries(narrowest(job, sheet)).filter(([, mm]) => mm > 0));

/** Lays an outline on its plate. EtchError of kind `usage` where that cannot be done. */
export async function planOutline(
  wish: OutlineWish,
  job: Job,
  making: Making,
  plan: Plan,
  shape: ShapeSource,
  signal: AbortSignal,
): Promise<PlannedOutline> {
  colourDigits(wish.colour, 'outline');
  const traced = outlines[wish.kind].traced ? await traceShape(shape, signal) : null;
  const { widthMm, heightMm, widthPx, heightPx } = plan.layout;
  const box = { xMm: 0, yMm: 0, widthMm, heightMm };
  // a line cannot be truer than what it was traced from
  const toleranceMm = Math.max(wish.toleranceMm, traced?.stepMm ?? 0);
  const outline = within(() =>
    outlinePaths(wish.kind, wish.params, box, { kerfMm: wish.kerfMm, toleranceMm, traced }),
  );
  const engraves = wish.as === 'guide' && screens[job.screen].draws === 'bits';
  const isCoarse = toleranceMm > wish.toleranceMm * (1 + 1e-9);
  const laid: LaidOutline = {
    wish: { ...wish, toleranceMm },
    outline,
    traced: traced && { stepMm: traced.stepMm, maskSha256: traced.maskSha256, isCoarse },
    widthMm: mmFor(widthPx, job.dpi),
    heightMm: mmFor(heightPx, job.dpi),
    mirrored: plan.finish.mirror,
    guide: engraves ? stripOf(outline.piece, guideWidthMm(job, making, plan), plan, job.dpi) : null,
    settings: { ...outlineBits(wish), ...(engraves ? knownLimits(job, making) : {}) },
  };
  return {
    guide: laid.guide?.spans ?? null,
    finish: (setup) => finishOutline(laid, nearMarks(laid, job, making, plan, setup)),
  };
}

function within(draw: () => Outline): Outline {
  try {
    return draw();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new EtchError(
      'usage',
      'outline-does-not-fit',
      `Drawing the outline: ${error.message}`,
      'Give a smaller --outline-inset, --outline-radius or --min-radius, or a larger plate.',
    );
  }
}

/** Marks that print within the strip to be kept clear, counted on the finished bits. */
function nearMarks(
  { outline, widthMm, heightMm, mirrored }: LaidOutline,
  job: Job,
  making: Making,
  plan: Plan,
  setup: JudgeSetup | null,
): OutlineFacts['near'] {
  if (setup === null || areaMm2(outline.piece) > WHOLE_PLATE * widthMm * heightMm) return null;
  const { bevelled, prints } = processes[job.process];
  const clearMm = keepClearMm(bevelled, making);
  const { spans } = stripOf(outline.piece, -clearMm, plan, job.dpi);
  const px = countInSpans(setup.bitmap, spans, prints === 'etched' ? 1 : 0, mirrored);
  return { clearMm, areaMm2: px / pixelsPerMm(plan, job.dpi) ** 2 };
}

function finishOutline(laid: LaidOutline, near: OutlineFacts['near']): ReturnType<PlannedOutline['finish']> {
  const { wish, outline, traced, widthMm, heightMm, guide, mirrored, settings } = laid;
  const facing = mirrored ? mirroredPaths(outline.paths, widthMm) : outline.paths;
  const { box } = measurePaths(facing);
  const reachMm = Math.max(0, -box.left, -box.top, box.right - widthMm, box.bottom - heightMm);
  // whole millimetres, so that people can type them in
  const marginMm = Math.max(1, Math.ceil(reachMm + STROKE_MM));
  const paths = movedPaths(facing, marginMm, marginMm);
  const piece = boxMm(outline.piece);
  const facts: OutlineFacts = {
    wish,
    outline,
    measures: measurePaths(paths),
    pageMm: { width: widthMm + 2 * marginMm, height: heightMm + 2 * marginMm },
    originMm: { x: marginMm, y: marginMm },
    traced,
    beyondMm: Math.max(0, -piece.left, -piece.top, piece.right - widthMm, piece.bottom - heightMm),
    near,
    guideShare: guide?.share ?? null,
    settings,
  };
  return { facts, page: (name) => outlinePage(name, { paths }, facts) };
}
