import { MM_PER_INCH } from '../../core/geometry.ts';
import { processes } from '../../core/processes/index.ts';
import { chooseAngles } from '../../core/screens/angle-set.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import { lightnessOf } from '../../core/separations/lab.ts';
import { withScreen } from '../../job/layers.ts';
import type { WantedJob } from '../../job/schema.ts';
import type { Division } from './division.ts';
import type { PlateJob, SeparateRequest } from './request.ts';

/** Angles for ruled screens, the darkest ink first: strong inks 30 degrees apart, the lightest 15 from the next (common practice). */
const ANGLES_DEG = [45, 75, 15, 0] as const;

/** Angle of the nth darkest of so many; of more than four every one has its share of the right angle. */
const angleOf = (rank: number, plates: number): number =>
  plates <= ANGLES_DEG.length ? ANGLES_DEG[rank]! : (45 + (90 / plates) * rank) % 90;

/** What the jobs of its plates hang on, known of tones before the picture is divided. */
type Divided = Pick<Division, 'plates' | 'layout' | 'draws' | 'onRaster' | 'cut'>;

/** How many inks of the set are darker. */
function rankOf({ plates }: Divided, index: number): number {
  const own = lightnessOf(plates[index]!.light);
  return plates.filter(({ light }, other) => {
    const lightness = lightnessOf(light);
    return lightness < own || (lightness === own && other > index);
  }).length;
}

/** The screen of a plate where none is named: solids keep their edges, but what is wiped wants marks that hold ink. */
function screenFor(
  { process }: WantedJob,
  draws: Division['draws'],
): { screen: ScreenKind; settings: object } {
  const { inking, screenFor: advice } = processes[process];
  if (draws === 'areas' && !inking.wiped) return { screen: 'threshold', settings: {} };
  return { screen: advice.tone.screen as ScreenKind, settings: advice.tone.settings ?? {} };
}

/** Angle of a plate, and its ruling where one is asked for the set: cells of the pixel grid that do not beat with those of the others. */
function turned(division: Divided, index: number, { dpi }: WantedJob, rulingLpi: unknown): object {
  const plates = division.plates.length;
  const rank = rankOf(division, index);
  const angles = division.plates.map((_, other) => angleOf(other, plates));
  if (typeof rulingLpi !== 'number') return { angleDeg: angles[rank]! };
  const { screens: chosen } = chooseAngles(rulingLpi, angles, dpi / MM_PER_INCH);
  return { angleDeg: chosen[rank]!.angleDeg, rulingLpi: chosen[rank]!.rulingLpi };
}

/** What the set decides of a plate's screen unless it is given: angles that do not beat, lots of its own, a level under its cap. */
function setParams(
  screen: ScreenKind,
  job: WantedJob,
  division: Divided,
  index: number,
  typed: Readonly<Record<string, unknown>>,
): Record<string, unknown> {
  const { shape } = screens[screen].params;
  const given = job.screenParams;
  const seed = typeof given['seed'] === 'number' ? given['seed'] : 1;
  return {
    ...('seed' in shape ? { seed: seed + index } : {}),
    ...('angleDeg' in shape && division.plates.length > 1
      ? turned(division, index, job, 'angleDeg' in typed ? null : typed['rulingLpi'])
      : {}),
    ...('levelPercent' in shape && division.draws === 'areas' ? { levelPercent: job.capPercent / 2 } : {}),
  };
}

/** The tone of a divided picture is settled: what a plate is given is to be printed as it is. */
const AS_DIVIDED = {
  source: 'positive',
  whitepointPercent: 100,
  blackpointPercent: 0,
  gamma: 1,
  descreen: 'off',
} as const;

/** The job of one plate of a set: its own, on the canvas of all, with a screen that goes with the others. */
export function plateJobOf(request: SeparateRequest, division: Divided, index: number): PlateJob {
  const { base, own } = request;
  const given = own.get(division.plates[index]!.name) ?? base;
  const { layout, draws, onRaster } = division;
  const { dpi, borderMm, fit, rotateDeg, page, maxPixels } = base.job;
  const canvas = { widthMm: layout.widthMm, heightMm: layout.heightMm, dpi, borderMm, fit, maxPixels };
  const turn = onRaster ? ({ rotateDeg: 0, page: 1 } as const) : { rotateDeg, page };
  const asked: WantedJob = {
    ...given.job,
    ...canvas,
    ...turn,
    ...(draws === 'pictures' ? {} : AS_DIVIDED),
  };
  // faces that carry the picture lie beside each other, never over: each chooses as a plate by itself does
  if (division.cut && draws === 'tones' && asked.screen === null) return { ...given, job: asked };
  const chosen = asked.screen === null ? screenFor(asked, draws) : { screen: asked.screen, settings: {} };
  const typed = Object.fromEntries(
    Object.entries(asked.screenParams).filter(([key]) => given.origins[key] !== 'default'),
  );
  const { seed, rulingLpi, ...decided } = setParams(chosen.screen, asked, division, index, typed);
  const ofItsOwn = (key: string): boolean => own.has(division.plates[index]!.name) && key in typed;
  const screenParams = {
    ...chosen.settings,
    ...decided,
    ...typed,
    // a seed of all plates would give all the same grain
    ...(seed === undefined || ofItsOwn('seed') ? {} : { seed }),
    // nor may all have one ruling, where that would beat
    ...(rulingLpi === undefined || ofItsOwn('rulingLpi') ? {} : { rulingLpi }),
  };
  const job = withScreen({ ...asked, screenParams }, chosen.screen);
  return { ...given, job };
}
