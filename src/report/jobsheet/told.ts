import type { Draws } from '../../core/screens/contract.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import type { Report } from '../schema.ts';
import { clock, num, sizeWords } from '../words.ts';

/** What the steps of the work quote from the report. */
export interface Told {
  readonly size: string;
  /** First eight digits of the hash of the bits, enough to tell two plates apart. */
  readonly hash: string;
  readonly mirrored: boolean;
  readonly draws: Draws;
  /** Pixel value on which the machine fires; null where no file was written, or files differ. */
  readonly fires: 'dark' | 'light' | null;
  readonly passes: number | null;
  /** The files of the passes in the order they are run, each with how often; empty where nothing is cleared by plates of its own. */
  readonly runs: readonly {
    readonly file: string;
    readonly dpi: string;
    readonly times: number;
    readonly minutes: string;
  }[];
  readonly time: { readonly minutes: string; readonly slotMinutes: string; readonly fits: boolean } | null;
}

/** Passes of one file that follow each other, as one run. */
function runsOf(plan: NonNullable<Report['passes']>['plan']): Told['runs'] {
  const files = [...new Set(plan.map(({ file }) => file))];
  return files.map((file) => {
    const passes = plan.filter((pass) => pass.file === file);
    const seconds = passes.reduce((sum, { timeS }) => sum + (timeS ?? 0), 0);
    return { file: file ?? '', dpi: num(passes[0]!.dpi, 3), times: passes.length, minutes: clock(seconds) };
  });
}

export function toldOf({ plate, screen, files, passes, time, bitsSha256 }: Report): Told {
  const fires = new Set(files.flatMap(({ fire }) => (fire === null ? [] : [fire])));
  return {
    size: sizeWords(plate),
    hash: bitsSha256.slice(0, 8),
    mirrored: plate.mirrored,
    draws: screens[screen.kind as ScreenKind].draws,
    fires: fires.size === 1 ? [...fires][0]! : null,
    passes: passes?.count ?? null,
    runs: passes?.clearing ? runsOf(passes.plan) : [],
    time: time && {
      minutes: clock(time.totalS),
      slotMinutes: num(time.slotS / 60, 0),
      fits: time.fits,
    },
  };
}
