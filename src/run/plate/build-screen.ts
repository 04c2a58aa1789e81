import type { ScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import { type SpotCurve, spotCurve } from '../../core/screens/spot-curve.ts';
import type { PlacedScreen } from '../../job/screen-place.ts';
import { inSharedMemory } from '../shared.ts';

/** What a screen needs before its first row, made once for all threads, its tables in memory that they share. */
export interface BuiltScreen {
  /** The screen's own tables. */
  readonly tables: unknown;
  /** The curve predicted for the spot; null where the screen sees to it, or nobody does. */
  readonly curve: SpotCurve | null;
  /** What the tones go through before the screen, 65,536 entries: a measured curve, then the predicted one; null for neither. */
  readonly toneTable: Uint16Array | null;
  /** Facts for the report, as achieved. */
  readonly achieved: Readonly<Record<string, number | string>>;
}

/** Of a screen that needs nothing, or draws no marks. */
export const NOTHING_BUILT: BuiltScreen = { tables: undefined, curve: null, toneTable: null, achieved: {} };

/** Builds a screen for its place; pure, and worth a thread of its own while the picture is decoded. */
export function buildScreen({ kind, params, place, measured }: PlacedScreen): BuiltScreen {
  // the registry's entries have parameter types of their own; the job has checked them
  const def = screens[kind] as unknown as ScreenDef;
  if (def.draws !== 'bits') return NOTHING_BUILT;
  const tables = def.build?.(params, place);
  const wantsCurve = def.compensates === 'curve' && place.allowsForSpot;
  const curve = wantsCurve ? spotCurve(def, params, place, tables) : null;
  return inSharedMemory({
    tables,
    curve,
    toneTable:
      measured && curve ? measured.map((tone) => curve.table[tone]!) : (measured ?? curve?.table ?? null),
    achieved: def.achieved?.(params, place, tables) ?? {},
  });
}
