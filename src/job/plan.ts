import type { Knot } from '../core/curve.ts';
import { JobError, type Problem } from '../core/errors.ts';
import {
  type AxisMap,
  layoutPlate,
  MM_PER_INCH,
  type PictureSize,
  type PlateLayout,
  plateSizeMm,
} from '../core/geometry.ts';
import type { Finish } from '../core/plate.ts';
import { processes } from '../core/processes/index.ts';
import { type Stretch, stretchedLayout } from '../core/register/stretch.ts';
import {
  type AnyScreenDef,
  type EtchedSide,
  frameOf,
  type ScreenDef,
  type Trim,
} from '../core/screens/contract.ts';
import { screens } from '../core/screens/index.ts';
import { planCompensation } from '../core/spot/compensate.ts';
import type { SpotOnPitch } from '../core/spot/widths.ts';
import type { ToneSettings } from '../core/tone.ts';
import type { Making } from './making.ts';
import { sideTooLong, tooLarge } from './rules.ts';
import type { Job, WantedJob } from './schema.ts';
import { etchedSideOf, type PlacedScreen, placedScreen } from './screen-place.ts';

/** Everything that makes the bits of one plate, as plain data that workers can be sent. */
export interface Plan {
  readonly layout: PlateLayout;
  readonly tone: ToneSettings;
  /** Ruling of the dots to take out of the picture first, in cycles per pixel of the picture; null where none are. */
  readonly descreenPerPx: number | null;
  readonly screen: PlacedScreen;
  readonly etches: EtchedSide;
  readonly finish: Finish;
  /** The spot that line art is narrowed for; null where it is not. */
  readonly narrowFor: SpotOnPitch | null;
  /** What the screen wants done to the etched side of the whole plate; null where nothing. */
  readonly trim: Trim | null;
}

type Stretching = Pick<WantedJob, 'stretchXPercent' | 'stretchYPercent'>;

/** What a job's plate is made larger by, as shares. */
export const stretchOf = ({ stretchXPercent, stretchYPercent }: Stretching): Stretch => ({
  x: stretchXPercent / 100,
  y: stretchYPercent / 100,
});

/** Lays one plate out for a picture whose upright, turned size is known, stretched as asked. Throws JobError when that cannot be done. */
export function layPlate(job: WantedJob, picture: PictureSize): PlateLayout {
  const print = layPrint(job, picture);
  const stretch = stretchOf(job);
  if (stretch.x === 0 && stretch.y === 0) return print;
  const layout = stretchedLayout(print, stretch, job.dpi);
  const problem = tooLarge(layout.widthMm, layout.heightMm, job.dpi);
  if (problem) throw new JobError([problem]);
  return layout;
}

/** The same as it is wanted on the print, whatever the paper does. Throws JobError as `layPlate` does. */
export function layPrint(job: WantedJob, picture: PictureSize): PlateLayout {
  const wish = {
    widthMm: job.widthMm ?? null,
    heightMm: job.heightMm ?? null,
    dpi: job.dpi,
    borderMm: job.borderMm,
    fit: job.fit,
  };
  const size = plateSizeMm(picture, wish);
  if (!size)
    throw new JobError([
      {
        code: 'no-size',
        message: 'No size is given, and the picture does not say how large it is',
        hint: 'Give --width or --height, such as --width 120mm.',
      },
    ]);
  // The rule over the job's own numbers cannot see a side that the picture gives.
  const problem = sideTooLong(size) ?? tooLarge(size.widthMm, size.heightMm, job.dpi);
  if (problem) throw new JobError([problem]);
  return lay(picture, wish, size);
}

/** Plans one plate: its layout, and all that its bits hang on, with the ruling of the dots that a scan is to lose and the ink knots of a measured curve. Throws as `layPlate` does, and where the screen is coarser than the plate. */
export function planPlate(
  job: Job,
  making: Making,
  picture: PictureSize,
  descreenPerPx: number | null = null,
  inkKnots: readonly Knot[] | null = null,
): Plan {
  const layout = layPlate(job, picture);
  const etches = etchedSideOf(job);
  const narrowFor = narrowingSpot(job, making);
  const screen = placedScreen(job, making, inkKnots);
  const def = screens[job.screen] as unknown as AnyScreenDef;
  const problem = tooCoarse(def, screen, layout);
  if (problem) throw new JobError([problem]);
  const frame = def.draws === 'bits' ? frameOf(def as ScreenDef, screen.params, screen.place) : null;
  const shiftPx = narrowFor ? planCompensation(narrowFor).shiftPx : (frame?.shiftPx ?? { x: 0, y: 0 });
  return {
    layout: drawnLater(layout, shiftPx),
    tone: {
      source: job.source,
      whitepoint: job.whitepointPercent / 100,
      blackpoint: job.blackpointPercent / 100,
      gamma: job.gamma,
      cap: job.capPercent / 100,
      floor: job.floorPercent / 100,
    },
    descreenPerPx,
    screen,
    etches,
    finish: {
      etches,
      border: processes[job.process].border,
      box: layout.box,
      mirror: job.facing === 'plate',
    },
    narrowFor,
    trim: frame?.trim ?? null,
  };
}

/** The problem of a screen of which not one mark finds room on the picture; null where there is room. */
function tooCoarse(def: AnyScreenDef, { params, place }: PlacedScreen, { box }: PlateLayout): Problem | null {
  const spacing = def.spacing?.(params, place);
  const [widthMm, heightMm] = [box.widthPx / place.pxPerMm, box.heightPx / place.pxPerMm];
  if (!spacing || spacing.mm <= Math.min(widthMm, heightMm)) return null;
  const mm = (length: number): string => `${Number(length.toFixed(2))}`;
  return {
    code: 'screen-over-plate',
    message: `The picture is ${mm(widthMm)} × ${mm(heightMm)} mm on the plate, and ${spacing.of} of the screen ${def.kind} is ${mm(spacing.mm)} mm long`,
    hint: `Give ${spacing.finer} or a larger plate, or take a screen of finer marks.`,
  };
}

/** Line art is narrowed only for a spot somebody has measured, and only by screens that know nothing of it. */
function narrowingSpot(job: Job, { machine, spotKnown }: Making): SpotOnPitch | null {
  const { forLineArt, compensates } = screens[job.screen];
  if (!job.compensate || !spotKnown || !forLineArt || compensates !== 'no') return null;
  const spot = { spotMm: machine.spotMm, pitchMm: MM_PER_INCH / job.dpi, beam: machine.beam };
  const { narrowedPx } = planCompensation(spot);
  return narrowedPx.x > 0 || narrowedPx.y > 0 ? spot : null;
}

/**
 * Of the half pixel that narrowing moves things by, this much is taken back. All of it would put the edges of drawings
 * made pixel by pixel on the middle of pixels, where the threshold takes both or neither; 1/200 px nobody sees.
 */
const TAKEN_BACK = 0.99;

/** What narrowing or a trim moves by so much, the picture is drawn as much the other way. */
function drawnLater(layout: PlateLayout, shiftPx: { readonly x: number; readonly y: number }): PlateLayout {
  if (shiftPx.x === 0 && shiftPx.y === 0) return layout;
  const move = (axis: AxisMap, px: number): AxisMap => ({
    ...axis,
    startPx: axis.startPx + TAKEN_BACK * px * axis.stepPx,
  });
  return { ...layout, x: move(layout.x, shiftPx.x), y: move(layout.y, shiftPx.y) };
}

function lay(
  picture: PictureSize,
  wish: Parameters<typeof layoutPlate>[1],
  size: { widthMm: number; heightMm: number },
): PlateLayout {
  try {
    return layoutPlate(picture, wish, size);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new JobError([
      {
        code: 'no-room',
        message: `A plate of ${size.widthMm} × ${size.heightMm} mm with a border of ${wish.borderMm} mm at ${wish.dpi} dpi has no room for the picture: ${error.message}`,
        hint: 'Give a larger plate, a narrower border or a higher --dpi.',
      },
    ]);
  }
}
