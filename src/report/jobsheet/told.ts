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
  readonly time: { readonly minutes: string; readonly slotMinutes: string; readonly fits: boolean } | null;
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
    time: time && {
      minutes: clock(time.totalS),
      slotMinutes: num(time.slotS / 60, 0),
      fits: time.fits,
    },
  };
}
