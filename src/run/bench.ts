import { type Judging, openJudging } from './judging.ts';
import type { JudgeSetup, PlateSetup } from './setup.ts';
import { openPlateWork, type PlateWork } from './work.ts';

/** A piece of work as it is sent to a thread: which plate, what to do, with what. */
export type Task = {
  [Name in keyof PlateWork]: {
    readonly do: Name;
    readonly plate: number;
    readonly args: Parameters<PlateWork[Name]>;
  };
}[keyof PlateWork];

export type Result<T extends Task> = ReturnType<PlateWork[T['do']]>;

/** A plate to be made, or one that is finished and only judged. */
export type AnySetup = PlateSetup | JudgeSetup;

/** The plates one thread works on. */
export interface Bench {
  add(setup: AnySetup): void;
  drop(plate: number): void;
  run(task: Task): unknown;
}

/** Names and arguments were checked where the task was made. */
type Methods = Partial<Record<string, (...args: readonly unknown[]) => unknown>>;

export function openBench(): Bench {
  const plates = new Map<number, PlateWork | Judging>();
  return {
    add: (setup) => void plates.set(setup.id, 'plan' in setup ? openPlateWork(setup) : openJudging(setup)),
    drop: (plate) => void plates.delete(plate),
    run(task) {
      const work = plates.get(task.plate) as unknown as Methods | undefined;
      const job = work?.[task.do];
      if (!job) throw new Error(`plate ${task.plate} is not on this bench, or cannot ${task.do}`);
      return job(...task.args);
    },
  };
}
