import { type ScreenKind, screens } from '../core/screens/index.ts';
import { type Origin, type Origins, withScreen } from '../job/layers.ts';
import type { Making } from '../job/making.ts';
import type { Job, WantedJob } from '../job/schema.ts';
import { screenPlace, settleScreen } from '../job/screen-place.ts';
import { NO_PLATE } from './bench.ts';
import { type BuiltScreen, NOTHING_BUILT } from './build-screen.ts';
import type { Picture } from '../io/read/decode.ts';
import type { Pool } from './pool.ts';

/** A job whose screen is chosen, filled in and built. */
export interface Decided {
  readonly job: Job;
  readonly built: BuiltScreen;
  /** Why this screen, in words; null where it was named. */
  readonly why: string | null;
}

/** Screens already built in this run, by what they were built for; several plates of one kind share them. */
export type ScreenStore = Map<string, Promise<BuiltScreen>>;

/** Has a thread build the screen of a job, unless that was done before. */
export function builtFor(job: Job, making: Making, pool: Pool, store: ScreenStore): Promise<BuiltScreen> {
  if (screens[job.screen].draws !== 'bits') return Promise.resolve(NOTHING_BUILT);
  const screen = { kind: job.screen, params: job.screenParams, place: screenPlace(job, making) };
  const key = JSON.stringify(screen);
  const known = store.get(key) ?? pool.run({ do: 'buildScreen', plate: NO_PLATE, args: [screen] });
  // whoever asks for it hears of a failure; who does not, need not
  known.catch(() => undefined);
  store.set(key, known);
  return known;
}

/** The job with this screen, whole. */
export const jobWith = (wanted: WantedJob, making: Making, screen: ScreenKind): Job =>
  settleScreen(withScreen(wanted, screen), making);

/** The decision on the screen of one plate; building begins at once, while the picture is being decoded. */
export interface Decision {
  forPicture(picture: Picture): Promise<Decided>;
}

const GUESS = { relief: 'threshold', intaglio: 'errordiffusion' } as const;

export function openDecision(wanted: WantedJob, making: Making, pool: Pool, store: ScreenStore): Decision {
  const early = jobWith(wanted, making, wanted.screen ?? GUESS[wanted.process]);
  const building = builtFor(early, making, pool, store);
  return {
    async forPicture() {
      return { job: early, built: await building, why: null };
    },
  };
}

/** Where the values of a job came from, once its screen is chosen by the picture. */
export function originsOf(given: Origins, job: Job, why: string | null): Origins {
  const origins: Record<string, Origin> = { ...given };
  if (why !== null) origins['screen'] = 'measured';
  for (const key of Object.keys(job.screenParams)) origins[key] ??= 'default';
  return origins;
}
