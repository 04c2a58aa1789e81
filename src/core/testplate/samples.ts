import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { processes } from '../processes/index.ts';
import type { ScreenDef, ScreenPlace } from '../screens/contract.ts';
import { type ScreenKind, screens } from '../screens/index.ts';
import type { TestPlateLayout } from './layout.ts';

/** A screen with its settings, as a layout names it. */
export type LayoutScreen = TestPlateLayout['screen'];

/** A screen by its name in a layout; null where there is none that draws marks. */
export function marksOf(kind: string): ScreenDef | null {
  // the registry's entries have parameter types of their own; whoever names a screen has checked them
  const def = Object.hasOwn(screens, kind) ? (screens[kind as ScreenKind] as unknown as ScreenDef) : null;
  return def?.draws === 'bits' ? def : null;
}

/**
 * Where samples of grain and ruling stand: nothing is allowed for and nothing need hold, since what holds is what they
 * are printed to tell.
 */
export const samplePlace = (plate: Pick<TestPlateLayout, 'process' | 'dpi'>): ScreenPlace => ({
  pxPerMm: plate.dpi / MM_PER_INCH,
  etchedSide: processes[plate.process].etches,
  plate: 0,
  spotPx: 1,
  beam: 'pulse',
  allowsForSpot: false,
  minEtchedPx: 1,
  minKeptPx: 1,
  darkestTone: 65535,
  lightestTone: 0,
});

/** A screen's settings whole, for a sample; null where the plate's pixels are too coarse for it. */
export function settledSample(
  { kind, params }: LayoutScreen,
  plate: Pick<TestPlateLayout, 'process' | 'dpi'>,
): LayoutScreen | null {
  const def = marksOf(kind);
  if (!def) return null;
  try {
    const whole = def.params.parse(params);
    return { kind, params: def.settle?.(whole, samplePlace(plate)) ?? whole };
  } catch (error) {
    if (error instanceof EtchError) return null;
    throw error;
  }
}
