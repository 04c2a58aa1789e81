import { processes } from '../../core/processes/index.ts';
import type { ThinLines, ThinSides } from '../../core/thin-lines.ts';
import type { Plan } from '../../job/plan.ts';
import type { Job } from '../../job/schema.ts';
import type { Caution } from '../schema.ts';

/** Under these a picture looks coarse on the plate; common practice. */
const LEAST_PPI = { tone: 150, line: 300 } as const;

type Seen = Omit<Caution, 'severity' | 'value' | 'limit' | 'unit'> & Partial<Caution>;

/** A caution of severity `warn` unless it says otherwise. */
export const caution = (seen: Seen): Caution => ({
  severity: 'warn',
  value: null,
  limit: null,
  unit: null,
  ...seen,
});

export function lowResolution(plan: Pick<Plan, 'layout'>, lineArt: boolean): Caution[] {
  const limit = lineArt ? LEAST_PPI.line : LEAST_PPI.tone;
  const { sourcePpi, box } = plan.layout;
  // a scan of just enough ppi at its own size must not fall short by the rounding of its sides to whole pixels
  const roundingPpi = (0.5 / Math.min(box.widthPx, box.heightPx)) * sourcePpi;
  const value = Math.round(sourcePpi * 10) / 10;
  if (value + roundingPpi >= limit) return [];
  const most = Math.floor((plan.layout.widthMm * plan.layout.sourcePpi) / limit);
  return [
    caution({
      code: 'low-source-ppi',
      text: `The picture has ${value} pixels to an inch of plate; ${lineArt ? 'line art' : 'a tonal picture'} wants ${limit} or more (common practice)`,
      value,
      limit,
      unit: 'ppi',
      cure: `Scan or photograph it larger, or make the plate no wider than about ${most} mm.`,
    }),
  ];
}

function cropped(plan: Plan): Caution[] {
  const { left, right, top, bottom } = plan.layout.cropPercent;
  const value = Math.round((left + right + top + bottom) * 10) / 10;
  if (value < 0.1) return [];
  const sides = left > 0 ? 'left and right' : 'top and bottom';
  return [
    caution({
      code: 'cropped',
      severity: 'note',
      text: `${value} % of the picture is cut off, half of it each at ${sides}`,
      value,
      unit: '%',
      cure: 'Use --fit contain to keep the whole picture.',
    }),
  ];
}

function stretched(job: Job, plan: Plan): Caution[] {
  if (job.fit !== 'fill') return [];
  const { x, y } = plan.layout;
  const value = Math.round((x.stepPx / y.stepPx - 1) * 1000) / 10;
  return Math.abs(value) < 1
    ? []
    : [
        caution({
          code: 'stretched',
          text: `The picture is stretched: its width and height are scaled ${Math.abs(value)} % apart`,
          value,
          unit: '%',
          cure: 'Use --fit contain or cover to keep its proportion.',
        }),
      ];
}

function implausible(job: Job, etched: number, lineArt: boolean): Caution[] {
  const found = processes[job.process].implausible(etched, lineArt);
  if (!found) return [];
  const value = Math.round(etched * 1000) / 10;
  return [
    caution({
      code: 'implausible-coverage',
      text: `${found.text} (${value} % etched; limit ${found.limit * 100} %, from memory)`,
      value,
      limit: found.limit * 100,
      unit: '%',
      cure: 'Look whether the picture is a negative (--source negative) or the process is the wrong one.',
    }),
  ];
}

/** A job can leave no tone dark enough for ink, such as a cap below the level of a threshold. */
function nothingPrints(job: Job, etched: number): Caution[] {
  const printing = processes[job.process].prints === 'kept' ? 1 - etched : etched;
  if (printing > 0) return [];
  return [
    caution({
      code: 'nothing-prints',
      text: 'No part of this plate would print',
      value: 0,
      unit: '%',
      cure: 'Look whether --cap, --level or --whitepoint leaves every tone too light to be ink, and whether it is the right picture.',
    }),
  ];
}

/** How many times larger or finer a plate must be for its thinnest line to have a pixel, rounding of its sides included. */
function growthFor({ layout }: Plan, thinnestPx: number): number {
  const { x, y, box } = layout;
  const needed = Math.max(x.stepPx, y.stepPx) / thinnestPx;
  return needed + 0.5 / Math.min(box.widthPx, box.heightPx);
}

/** What is said of lines of ink, and of the gaps of paper between them. */
const THIN = {
  ink: { code: 'thin-lines', what: 'lines', cure: 'draw them heavier' },
  paper: { code: 'thin-gaps', what: 'gaps between lines', cure: 'draw them wider' },
} as const;

function thinLines(job: Job, plan: Plan, side: keyof ThinSides, found: ThinLines | undefined): Caution[] {
  if (!found || found.count === 0) return [];
  const { code, what, cure } = THIN[side];
  const pitchMm = plan.layout.widthMm / plan.layout.widthPx;
  const step = Math.max(plan.layout.x.stepPx, plan.layout.y.stepPx);
  const value = Math.round((found.thinnestPx / step) * pitchMm * 10000) / 10000;
  const growth = growthFor(plan, found.thinnestPx);
  const { borderMm } = job;
  const widthMm = Math.ceil((plan.layout.widthMm - 2 * borderMm) * growth + 2 * borderMm);
  return [
    caution({
      code,
      text: `The thinnest ${what} of the picture come out ${value} mm wide, less than a pixel of the plate; parts of them may be lost`,
      value,
      limit: Math.round(pitchMm * 10000) / 10000,
      unit: 'mm',
      cure: `All of them have a pixel from a width of ${widthMm} mm on, or at this size from --dpi ${Math.ceil(job.dpi * growth)} on; else ${cure}.`,
    }),
  ];
}

export interface Findings {
  readonly etched: number;
  readonly thinLines: ThinSides | null;
  readonly lineArt: boolean;
  /** True for a plate of a set, which may print nearly all or nearly nothing. */
  readonly ofSet: boolean;
  /** True for what is drawn on the raster of the plate, which has all the pixels there are: drawings; and areas, of whose picture the set speaks. */
  readonly drawn: boolean;
}

/** What a job, its plan and its finished bits give rise to, in a fixed order. */
export const plateCautions = (job: Job, plan: Plan, found: Findings): Caution[] => [
  ...(found.drawn ? [] : lowResolution(plan, found.lineArt)),
  ...cropped(plan),
  ...stretched(job, plan),
  ...thinLines(job, plan, 'ink', found.thinLines?.ink),
  ...thinLines(job, plan, 'paper', found.thinLines?.paper),
  ...nothingPrints(job, found.etched),
  ...(found.ofSet ? [] : implausible(job, found.etched, found.lineArt)),
];

/** The cautions that stop what they are about; with `strict`, warnings do. Notes never do. */
export const reasonsAgainst = <One extends Pick<Caution, 'severity'>>(
  cautions: readonly One[],
  strict: boolean,
): One[] => cautions.filter(({ severity }) => severity === 'stop' || (strict && severity === 'warn'));

/** True when any of these cautions stops what they are about. */
export const refuses = (cautions: readonly Pick<Caution, 'severity'>[], strict: boolean): boolean =>
  reasonsAgainst(cautions, strict).length > 0;
