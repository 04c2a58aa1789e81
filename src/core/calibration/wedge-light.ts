import { monotoneCurve } from '../curve.ts';
import { EtchError } from '../errors.ts';
import { decodeSrgb, encodeSrgb } from '../srgb.ts';
import type { TestPlateLayout } from '../testplate/layout.ts';
import { densityOf, reflectanceOf } from './density.ts';
import type { Found } from './find.ts';
import { fitPaper, type Paper } from './paper.ts';
import type { ProofReading } from './read-proof.ts';
import { FULL_LIGHT, type GreyScan } from './scan.ts';
import { findWedge, type WedgeStep } from './wedge.ts';
import type { Wedge } from './wedge-file.ts';

/** A scan whose light is that of a wedge in it. */
export interface WedgeScan {
  readonly scan: GreyScan;
  /** Lightest and darkest density that the wedge tells in this scan. */
  readonly from: number;
  readonly to: number;
  /** Light, 0 … 1 as in the scan, of those two: beyond them nothing is known. */
  readonly lightest: number;
  readonly darkest: number;
}

/** Rounds of table and paper, each made with the other: the lamp's unevenness is told by paper, paper's light by the table. */
const ROUNDS = 4;

/** Codes beyond the ends follow the last slope, measured over this way: noise of single pixels goes there. */
const END = 1 / 255;

/** How far beyond the wedge a tone may lie: what no eye tells (the density at which a tone counts as seen). */
const BEYOND = 0.03;

/** Light of every code from that of the steps, brightest code at 1; between steps by a monotone curve. */
function tableOf(steps: readonly WedgeStep[], lights: readonly number[], codes: number): Float64Array {
  // Over the code, the sRGB code of its light is nearly straight for any scanner, so that little is left to guess
  const knots = steps.map(({ code }, i) => [code, encodeSrgb(lights[i]!)] as const).reverse();
  const curve = monotoneCurve(knots);
  const [low, high] = [knots[0]![0], knots.at(-1)![0]];
  const [lowSlope, highSlope] = [
    (curve.at(low + END) - curve.at(low)) / END,
    (curve.at(high) - curve.at(high - END)) / END,
  ];
  return Float64Array.from({ length: codes }, (_, i) => {
    const code = i / (codes - 1);
    const beyond = Math.min(0, code - low) * lowSlope + Math.max(0, code - high) * highSlope;
    return decodeSrgb(Math.max(0, curve.at(code) + beyond));
  });
}

/**
 * Gives a scan the light that the known densities of a wedge in it ask for, whatever tone curve the scanner has; the
 * lamp's unevenness between wedge and plate is taken out by bare paper around the plate. EtchError `refused`: those of
 * `findWedge` and `fitPaper`.
 */
export function lightByWedge(
  given: GreyScan,
  layout: TestPlateLayout,
  found: Found,
  wedge: Wedge,
): WedgeScan {
  const steps = findWedge(given, layout, found, wedge);
  const [first, last] = [steps[0]!, steps.at(-1)!];
  const ends = { from: first.density, to: last.density };
  let result: WedgeScan = { scan: given, ...ends, lightest: 1, darkest: 0 };
  for (let round = 0; round < ROUNDS; round++) {
    const paper = fitPaper(result.scan, found.toScan, layout);
    const lights = steps.map(({ density, xMm, yMm }) => reflectanceOf(density) * paper.lightAt(xMm, yMm));
    const table = tableOf(steps, lights, given.light.length);
    const full = table.at(-1)!;
    const light = Uint16Array.from(table, (value) => Math.round((FULL_LIGHT * value) / full));
    const scan = { ...given, light };
    result = { scan, ...ends, lightest: lights[0]! / full, darkest: lights.at(-1)! / full };
  }
  return result;
}

/** Light of bare paper where the lamp is brightest, of the corners of the plate and its middle. */
const brightest = ({ lightAt }: Paper, { widthMm: w, heightMm: h }: TestPlateLayout): number =>
  Math.max(lightAt(0, 0), lightAt(w, 0), lightAt(0, h), lightAt(w, h), lightAt(w / 2, h / 2));

/** Refuses a proof with paper lighter, or tones darker, than the wedge tells: EtchError `refused` `beyond-wedge`. */
export function withinWedge(
  { lightest, darkest, from, to }: WedgeScan,
  { paper, patches }: ProofReading,
  layout: TestPlateLayout,
): void {
  const white = densityOf(lightest) - densityOf(brightest(paper, layout));
  if (white > BEYOND) throw beyond('paper', white, 'lighter than its lightest step', from);
  layout.patches.forEach(({ xMm, yMm, widthMm, heightMm }, i) => {
    const { reflectance, id } = patches[i]!;
    const light = reflectance * paper.lightAt(xMm + widthMm / 2, yMm + heightMm / 2);
    const black = densityOf(light) - densityOf(Math.max(1 / FULL_LIGHT, darkest));
    if (black > BEYOND) throw beyond(`patch ${id}`, black, 'darker than the darkest step it tells', to);
  });
}

const beyond = (what: string, by: number, how: string, density: number): EtchError =>
  new EtchError(
    'refused',
    'beyond-wedge',
    `Reading a scan by a wedge: ${what} is ${by.toFixed(2)} in density ${how} (${density.toFixed(2)}), where nothing is known`,
    'Take a wedge that goes from the white of the paper to the black of the ink, and lay it close to the plate, where the light is as bright.',
  );
