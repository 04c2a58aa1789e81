import { EtchError } from '../../core/errors.ts';
import type { PlateLayout } from '../../core/geometry.ts';
import type { PictureKind } from '../../core/picture/kind.ts';
import { processes } from '../../core/processes/index.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import { chooseScreen } from '../../job/choose-screen.ts';
import { type Origin, type Origins, screensWithAll, withScreen } from '../../job/layers.ts';
import type { Making } from '../../job/making.ts';
import { type CurvedJob, type Curves, curvedJob } from '../../job/measured-curve.ts';
import type { Job, WantedJob } from '../../job/schema.ts';
import { narrowest, placedScreen, screenPlace, settleScreen } from '../../job/screen-place.ts';
import { NO_PLATE } from '../no-plate.ts';
import type { Pool } from '../pool.ts';
import { type BuiltScreen, NOTHING_BUILT } from './build-screen.ts';
import type { GreySource } from './tone-source.ts';

/** A job whose screen is chosen, filled in and built, with the curve it goes through. */
export interface Decided extends CurvedJob {
  readonly built: BuiltScreen;
  /** Why this screen, in words; null where it was named. */
  readonly why: string | null;
  /** True where the picture's own dots become the plate's, bit for bit. */
  readonly passes: boolean;
  /** What was seen in the picture; with a named screen nobody need wait for it before the plate is made. Null where nobody looked. */
  readonly picture: Promise<PictureKind | null>;
  /** Ruling of the dots to take out first, in cycles per pixel of the picture; null where none are. */
  readonly descreenPerPx: number | null;
}

/** Screens already built in this run, by what they were built for, the last used last; several plates of one kind share them. */
export type ScreenStore = Map<string, Promise<BuiltScreen>>;

/** A list of plates that are all different must not keep the tables of them all. */
const MOST_KEPT = 6;

/** Has a thread build the screen of a job, unless that was done before. */
function builtFor(
  { job, measured }: CurvedJob,
  making: Making,
  pool: Pool,
  store: ScreenStore,
): Promise<BuiltScreen> {
  if (screens[job.screen].draws !== 'bits') return Promise.resolve(NOTHING_BUILT);
  const knots = measured?.knots ?? null;
  const screen = placedScreen(job, making, knots);
  // the knots stand for the table made of them
  const key = JSON.stringify({ ...screen, measured: knots });
  const known = store.get(key) ?? pool.run({ do: 'buildScreen', plate: NO_PLATE, args: [screen] });
  // whoever asks for it hears of a failure; who does not, need not. What a dead thread left undone others may build
  known.catch((error: unknown) => {
    if (!(error instanceof EtchError) && store.get(key) === known) store.delete(key);
  });
  store.delete(key);
  store.set(key, known);
  const [oldest] = store.keys();
  if (store.size > MOST_KEPT) store.delete(oldest!);
  return known;
}

/** The job with this screen, whole. */
export const jobWith = (wanted: WantedJob, making: Making, screen: ScreenKind): Job =>
  settleScreen(withScreen(wanted, screen), making);

/** The decision on the screen of one plate; building begins at once, while the picture is being decoded. */
export interface Decision {
  /**
   * Decides once the picture can be looked at; `layout` is that of the plate. A picture of ink that we drew ourselves
   * is looked at only where something hangs on it.
   */
  forPicture(source: GreySource, layout: PlateLayout, ppi: number | null, isInk: boolean): Promise<Decided>;
}

/** What a picture without its own say is taken for while it is not yet there. */
const MOSTLY: PictureKind['kind'] = 'tone';

export function openDecision(
  wanted: WantedJob,
  making: Making,
  curves: Curves,
  pool: Pool,
  store: ScreenStore,
): Decision {
  const allowed = screensWithAll(Object.keys(wanted.screenParams));
  const among = (advised: ScreenKind): ScreenKind => (allowed.includes(advised) ? advised : allowed[0]!);
  const curved = (from: WantedJob, screen: ScreenKind): CurvedJob =>
    curvedJob((allowance) => jobWith({ ...from, ...allowance }, making, screen), curves);
  const early = curved(
    wanted,
    wanted.screen ?? among(processes[wanted.process].screenFor[MOSTLY].screen as ScreenKind),
  );
  const building = builtFor(early, making, pool, store);
  return {
    async forPicture(source, layout, ppi, isInk) {
      const inchPx = ppi ?? layout.sourcePpi;
      if (isInk && wanted.screen !== null && wanted.descreen !== 'auto') {
        const found = descreenPerPx(wanted, null, inchPx);
        const nothing = Promise.resolve(null);
        return {
          ...{ ...early, built: await building, why: null, passes: false },
          ...{ picture: nothing, descreenPerPx: found },
        };
      }
      const looking = pool.run({ do: 'lookAt', plate: NO_PLATE, args: [source, wanted.source] });
      // asked for late, if at all: not where the plate has failed before
      looking.catch(() => undefined);
      if (wanted.screen !== null) {
        const picture = wanted.descreen === 'auto' ? await looking : null;
        const found = descreenPerPx(wanted, picture, inchPx);
        const built = await building;
        return { ...early, built, why: null, passes: false, picture: looking, descreenPerPx: found };
      }
      const picture = await looking;
      const { pxPerMm, spotPx } = screenPlace(early.job, making);
      const { minEtchedMm, minKeptMm } = narrowest(early.job, making.sheet);
      const choice = chooseScreen({
        process: wanted.process,
        picture,
        spotPx,
        minEtchedPx: minEtchedMm * pxPerMm,
        minKeptPx: minKeptMm * pxPerMm,
        keepsPixels: isOneToOne(layout) && wanted.descreen === 'off',
      });
      const screen = among(choice.screen as ScreenKind);
      const isAdvised = screen === choice.screen;
      const passes = isAdvised && choice.passes;
      const decided = curved(
        {
          ...wanted,
          compensate: wanted.compensate && !passes,
          screenParams: { ...choice.settings, ...wanted.screenParams },
        },
        screen,
      );
      return {
        ...decided,
        built: await builtFor(decided, making, pool, store),
        why: isAdvised ? choice.why : 'the settings given are its own',
        passes,
        picture: looking,
        descreenPerPx: descreenPerPx(wanted, picture, inchPx),
      };
    },
  };
}

/** Every pixel of the picture becomes one of the plate. */
const isOneToOne = ({ x, y }: PlateLayout): boolean =>
  [x, y].every(({ stepPx, startPx }) => stepPx === 1 && Number.isInteger(startPx));

/** Ruling to take out, in cycles per pixel of the picture: the one found, or the one given for so many pixels an inch. */
function descreenPerPx({ descreen }: WantedJob, picture: PictureKind | null, ppi: number): number | null {
  if (descreen === 'off') return null;
  return descreen === 'auto' ? (picture?.screen?.rulingPerPx ?? null) : Math.min(0.5, descreen / ppi);
}

/**
 * Begins to build the screens of plates that are still to come, as many as are kept, so that a thread does so that would else be idle.
 * Plates whose screen hangs on their picture are left out.
 */
export function beginScreens(
  plates: readonly { readonly job: WantedJob; readonly making: Making; readonly curves: Curves }[],
  pool: Pool,
  store: ScreenStore,
): void {
  for (const { job, making, curves } of plates.slice(0, MOST_KEPT))
    if (job.screen !== null) openDecision(job, making, curves, pool, store);
}

/** Where the values of a job came from, once its screen is chosen by the picture. */
export function originsOf(given: Origins, wanted: WantedJob, job: Job, why: string | null): Origins {
  const origins: Record<string, Origin> = { ...given };
  if (job.compensate !== wanted.compensate) origins['compensate'] = 'curve';
  if (why !== null) origins['screen'] = 'measured';
  for (const key of Object.keys(job.screenParams)) origins[key] ??= 'default';
  return origins;
}
