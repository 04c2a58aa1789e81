import { createBitmap, strideFor } from '../../../dist/core/bitmap.js';
import { etchRows } from '../../../dist/core/plate.js';
import { frameOf } from '../../../dist/core/screens/contract.js';
import { screens } from '../../../dist/core/screens/index.js';
import { spotCurve } from '../../../dist/core/screens/spot-curve.js';
import { compensateLine, planCompensation } from '../../../dist/core/spot/compensate.js';
import { seamsOf, trimRows } from '../../../dist/core/trim.js';
import { DPI, furtherSettings } from './rows.mjs';

const PX_PER_MM = DPI / 25.4;
const PITCH_MM = 1 / PX_PER_MM;
export const FULL_TONE = 65535;

/** Every screen of the registry that draws marks, with its defaults, and the further settings after those of their kind. */
export const benchScreens = () =>
  Object.values(screens)
    .filter(({ draws }) => draws === 'bits')
    .flatMap((def) => {
      const further = furtherSettings.filter(({ kind }) => kind === def.kind);
      const asNamed = further.map(({ name, params }) => ({
        def,
        given: params,
        title: `${def.kind} ${name}`,
      }));
      return [{ def, given: () => ({}), title: def.kind }, ...asNamed];
    });

/** An intaglio plate whose marks and lands hold if they are as wide as the known spot. */
const placeFor = (spotPx) => ({
  pxPerMm: PX_PER_MM,
  etchedSide: 'ink',
  plate: 0,
  spotPx,
  beam: 'pulse',
  allowsForSpot: true,
  minEtchedPx: spotPx,
  minKeptPx: spotPx,
  darkestTone: FULL_TONE,
  lightestTone: 0,
});

/**
 * Gets a screen ready for a spot as a run does: settings filled in, tables and curve built. `shiftPx` is what the pictures
 * it is given are to be moved by; `etch` gives the plate, trimmed or narrowed, 1 = fired.
 */
export function openPlates({ def, given }, spotPx) {
  const place = placeFor(spotPx);
  const parsed = def.params.parse(given(spotPx));
  const params = def.settle?.(parsed, place) ?? parsed;
  const tables = def.build?.(params, place);
  const curve = def.compensates === 'curve' ? spotCurve(def, params, place, tables).table : null;
  const frame = frameOf(def, params, place);
  const narrowFor =
    def.forLineArt && def.compensates === 'no'
      ? { spotMm: spotPx * PITCH_MM, pitchMm: PITCH_MM, beam: place.beam }
      : null;

  const open = (widthPx, firstRow) => def.open(params, { ...place, widthPx, firstRow }, tables);

  const trim = (map) => {
    if (narrowFor) compensateLine(map, narrowFor);
    if (frame.trim) trimRows(map, frame.trim, 0, map.heightPx, seamsOf(map, frame.trim, 0, map.heightPx));
  };

  /** `readTone(y, row)` fills a row of ink tones; rows beyond the plate are those at its edge. */
  const etch = (widthPx, heightPx, readTone) => {
    const map = createBitmap(widthPx, heightPx);
    const row = open(widthPx, -frame.leadInRows);
    const tone = new Uint16Array(widthPx);
    const spare = new Uint8Array(strideFor(widthPx));
    for (let y = -frame.leadInRows; y < heightPx + frame.delayRows; y++) {
      readTone(Math.min(heightPx - 1, Math.max(0, y)), tone);
      if (curve) for (let x = 0; x < widthPx; x++) tone[x] = curve[tone[x]];
      const drawn = y - frame.delayRows;
      if (drawn < 0) row(tone, y, spare, 0);
      else row(tone, y, map.data, drawn * map.strideBytes);
    }
    const box = { xPx: 0, yPx: 0, widthPx, heightPx };
    etchRows(map, { etches: place.etchedSide, border: 'kept', box, mirror: false }, 0, heightPx);
    trim(map);
    return map;
  };

  const shiftPx = narrowFor ? planCompensation(narrowFor).shiftPx : frame.shiftPx;
  return { etch, open, trim, shiftPx, repeatPx: frame.repeatPx };
}
