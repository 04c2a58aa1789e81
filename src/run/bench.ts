import { reduceSource } from './looking/drawing.ts';
import { NO_PLATE } from './no-plate.ts';
import { buildScreen } from './plate/build-screen.ts';
import { type Finishing, openFinishing } from './plate/finishing.ts';
import { type Judging, openJudging } from './plate/judging.ts';
import type * as Look from './plate/look.ts';
import { reducePlate } from './plate/reduce-plate.ts';
import type { BitsSetup, DrawnSetup, JudgeSetup, ToneSetup } from './plate/setup.ts';
import { openToneWork, type ToneWork } from './plate/tone-work.ts';
import { type BitsWork, openBitsWork } from './plate/work.ts';
import type * as Split from './sets/split.ts';

/** What divides pictures, read when a thread is first asked to: with all methods in every thread a plate took 10 MB more. */
const split = () => import('./sets/split.ts');

/** One thread looks at a picture, once for a plate: the others need not know how. */
const look = () => import('./plate/look.ts');

/** What can be asked of a thread that knows no plate yet. */
const free = {
  buildScreen,
  lookAt: async (...args: Parameters<typeof Look.lookAt>) => (await look()).lookAt(...args),
  reduceSource,
  reducePlate,
  buildSplit: async (...args: Parameters<typeof Split.buildSplit>) => (await split()).buildSplit(...args),
  beginSplit: async (...args: Parameters<typeof Split.beginSplit>) => (await split()).beginSplit(...args),
  splitPart: async (...args: Parameters<typeof Split.splitPart>) => (await split()).splitPart(...args),
  splitPixels: async (...args: Parameters<typeof Split.splitPixels>) => (await split()).splitPixels(...args),
};

/** Everything that can be asked of a thread, for plates of marks and of tone. */
type Work = BitsWork & ToneWork & typeof free;

/** A piece of work as it is sent to a thread: which plate, what to do, with what. */
export type Task = {
  [Name in keyof Work]: {
    readonly do: Name;
    readonly plate: number | typeof NO_PLATE;
    readonly args: Parameters<Work[Name]>;
  };
}[keyof Work];

export type Result<T extends Task> = Awaited<ReturnType<Work[T['do']]>>;

/** A plate to be made, one whose ink is drawn, or one that is finished and only judged. */
export type AnySetup = BitsSetup | DrawnSetup | ToneSetup | JudgeSetup;

/** The plates one thread works on. */
export interface Bench {
  add(setup: AnySetup): void;
  drop(plate: number): void;
  run(task: Task): unknown;
}

/** Names and arguments were checked where the task was made. */
type Methods = Partial<Record<string, (...args: readonly unknown[]) => unknown>>;

type PlateWork = BitsWork | ToneWork | Judging | (Judging & Finishing);

function open(setup: AnySetup): PlateWork {
  if (!('draws' in setup)) return openJudging(setup);
  if (setup.draws === 'ink')
    return { ...openJudging(setup), ...openFinishing({ ...setup, isEtched: false }) };
  return setup.draws === 'tone' ? openToneWork(setup) : openBitsWork(setup);
}

export function openBench(): Bench {
  const plates = new Map<number, PlateWork>();
  return {
    add: (setup) => void plates.set(setup.id, open(setup)),
    drop: (plate) => void plates.delete(plate),
    run(task) {
      const found = task.plate === NO_PLATE ? free : plates.get(task.plate);
      const work = found as unknown as Methods | undefined;
      const job = work?.[task.do];
      if (!job) throw new Error(`plate ${task.plate} is not on this bench, or cannot ${task.do}`);
      return job(...task.args);
    },
  };
}
