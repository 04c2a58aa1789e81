import { join } from 'node:path';
import { type CurveFile, parseCurve } from '../../core/calibration/curve-file.ts';
import { reflectanceOf } from '../../core/calibration/density.ts';
import { type Drift, driftOf } from '../../core/calibration/drift.ts';
import { findPlate } from '../../core/calibration/find.ts';
import { fitCurve } from '../../core/calibration/fit.ts';
import { limitsOf, type Measured, spotOf } from '../../core/calibration/limits.ts';
import { type ProofReading, readProof } from '../../core/calibration/read-proof.ts';
import { rectified } from '../../core/calibration/rectified.ts';
import { findRuler, type Stretch, stretchOf } from '../../core/calibration/ruler.ts';
import type { GreyScan } from '../../core/calibration/scan.ts';
import { readShapes, type ShapeReading } from '../../core/calibration/shapes.ts';
import type { Wedge } from '../../core/calibration/wedge-file.ts';
import { lightByWedge, type WedgeScan, withinWedge } from '../../core/calibration/wedge-light.ts';
import { EtchError } from '../../core/errors.ts';
import { mean } from '../../core/mean.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import { openFileSet } from '../../io/atomic.ts';
import { greyJpeg } from '../../io/grey-jpeg.ts';
import { namedFor, parsedFrom, readJsonObject } from '../../io/json-file.ts';
import { curveSheet, type SheetProof } from '../../report/calibration/curve-sheet.ts';
import { rounded } from '../../report/words.ts';
import type { RunContext } from '../plate/context.ts';
import { readLayout, readScan, readWedge } from './read-scan.ts';
import { enteredCurve } from './workshop-curve.ts';

export interface CalibrateRequest {
  readonly scans: readonly string[];
  readonly layoutFile: string;
  readonly maxPixels: number;
  readonly name: string;
  readonly folder: string;
  readonly overwrite: boolean;
  /** Known length of a strip beside the print; null where none lay there. */
  readonly rulerMm: number | null;
  /** File of a wedge of known densities that lay in every scan; null for none. */
  readonly wedgeFile: string | null;
  readonly about: Pick<CurveFile, 'target' | 'measuredOn' | 'machine' | 'material' | 'batch'>;
  /** Workshop file that the curve is entered in; null for none. */
  readonly into: string | null;
}

export interface Calibrated {
  readonly curve: CurveFile;
  readonly proofs: readonly ProofReading[];
  readonly written: readonly string[];
}

/** All that is kept of one scan when the next is read. */
interface Read {
  readonly proof: ProofReading;
  readonly shapes: readonly ShapeReading[];
  readonly stretch: Stretch | null;
  readonly picture: SheetProof;
  /** Densities that the wedge in it told; null without one. */
  readonly wedge: Pick<WedgeScan, 'from' | 'to'> | null;
}

/** Pixels to a millimetre of the pictures in the sheet. */
const SHEET_PX_PER_MM = 6;

async function pictureOf(
  scan: GreyScan,
  proof: ProofReading,
  shapes: readonly ShapeReading[],
  layout: TestPlateLayout,
): Promise<SheetProof> {
  const { codes, widthPx, heightPx } = rectified(scan, proof.found.toScan, layout, SHEET_PX_PER_MM);
  const jpeg = await greyJpeg(codes, widthPx, heightPx);
  return { dataUri: `data:image/jpeg;base64,${Buffer.from(jpeg).toString('base64')}`, proof, shapes };
}

/** Reads a proof, its light by the wedge in the scan where there is one. */
function readByWedge(
  seen: GreyScan,
  layout: TestPlateLayout,
  wedge: Wedge | null,
): { scan: GreyScan; proof: ProofReading; told: WedgeScan | null } {
  if (!wedge) return { scan: seen, proof: readProof(seen, layout), told: null };
  const found = findPlate(seen, layout);
  const told = lightByWedge(seen, layout, found, wedge);
  const proof = readProof(told.scan, layout, found);
  withinWedge(told, proof, layout);
  return { scan: told.scan, proof, told };
}

async function readOne(
  path: string,
  layout: TestPlateLayout,
  wedge: Wedge | null,
  request: CalibrateRequest,
  context: RunContext,
): Promise<Read> {
  const seen = await readScan(path, request.maxPixels, context);
  try {
    const { scan, proof, told } = readByWedge(seen, layout, wedge);
    const { whiteDensity, solidDensity } = fitCurve([proof]);
    const ends = { white: reflectanceOf(whiteDensity), solid: reflectanceOf(solidDensity) };
    const shapes = readShapes(scan, layout, proof, ends);
    const { rulerMm } = request;
    const stretch =
      rulerMm === null ? null : stretchOf(proof.found, layout, findRuler(scan, layout, proof.found, rulerMm));
    const picture = await pictureOf(scan, proof, shapes, layout);
    return { proof, shapes, stretch, picture, wedge: told && { from: told.from, to: told.to } };
  } catch (error) {
    throw error instanceof EtchError ? namedFor(path, error) : error;
  }
}

function meanStretch(reads: readonly Read[]): Stretch | null {
  const known = reads.map(({ stretch }) => stretch).filter((stretch) => stretch !== null);
  if (known.length === 0) return null;
  return {
    xPercent: rounded(mean(known.map(({ xPercent }) => xPercent)), 3),
    yPercent: rounded(mean(known.map(({ yPercent }) => yPercent)), 3),
  };
}

const tidy = <Length extends Measured>(length: Length | null): Length | null =>
  length && { ...length, mm: rounded(length.mm, 3), plusMinusMm: rounded(length.plusMinusMm, 3) };

function curveOf(
  reads: readonly Read[],
  layout: TestPlateLayout,
  wedge: Wedge | null,
  { name, about }: CalibrateRequest,
): CurveFile {
  const { knots, whiteDensity, solidDensity, capPercent, floorPercent, warnings } = fitCurve(
    reads.map(({ proof }) => proof),
  );
  const shapes = reads.flatMap((read) => read.shapes);
  const limits = limitsOf(shapes);
  const stretch = meanStretch(reads);
  const told = reads.map((read) => read.wedge).filter((ends) => ends !== null);
  return {
    schema: 'etchwright/curve',
    version: 1,
    name,
    ...about,
    layoutId: layout.id,
    process: layout.process,
    dpi: layout.dpi,
    screen: layout.screen,
    spotMm: layout.spotMm,
    wedge: wedge && {
      name: wedge.name,
      from: Math.max(...told.map(({ from }) => from)),
      to: Math.min(...told.map(({ to }) => to)),
    },
    whiteDensity: rounded(whiteDensity, 4),
    solidDensity: rounded(solidDensity, 4),
    knots: knots.map(({ share, printed, plusMinus, density, lightness }) => ({
      share,
      printed: rounded(printed, 5),
      plusMinus: rounded(plusMinus, 5),
      density: rounded(density, 4),
      lightness: rounded(lightness, 2),
    })),
    capPercent: rounded(capPercent, 1),
    floorPercent: rounded(floorPercent, 1),
    limits: {
      minWallMm: tidy(limits.minWallMm),
      minLandMm: tidy(limits.minLandMm),
      minGapMm: tidy(limits.minGapMm),
      minMarkMm: tidy(limits.minMarkMm),
      maxPoolMm: tidy(limits.maxPoolMm),
      maxGapMm: tidy(limits.maxGapMm),
    },
    stretch,
    warnings: [...warnings],
    spot: stretch && tidy(spotOf(shapes, layout, 1 + (stretch.xPercent + stretch.yPercent) / 200)),
    readings: reads.flatMap(({ proof }, i) =>
      proof.patches.map(({ id, share, density, lightness }) => ({
        id,
        proof: i + 1,
        share,
        density: rounded(density, 4),
        lightness: rounded(lightness, 2),
      })),
    ),
  };
}

/**
 * Reads scanned proofs of one test plate, and writes the curve with a sheet that shows what was read where. Either
 * every file is in place at the end, or none is. EtchError `refused` where the proofs are no measurement.
 */
export async function calibrate(request: CalibrateRequest, context: RunContext): Promise<Calibrated> {
  const { scans, layoutFile, wedgeFile, name, folder, overwrite, into } = request;
  const layout = await readLayout(layoutFile);
  const wedge = wedgeFile === null ? null : await readWedge(wedgeFile);
  const protect = [...scans, layoutFile, ...(wedgeFile === null ? [] : [wedgeFile])];
  const set = openFileSet({ owner: context.owner, protect, overwrite });
  try {
    const files = { curve: join(folder, `${name}.curve.json`), sheet: join(folder, `${name}.curve.html`) };
    const curveSlot = await set.add(files.curve);
    const sheetSlot = await set.add(files.sheet);
    const reads: Read[] = [];
    for (const path of scans) {
      context.signal.throwIfAborted();
      context.progress('reading', reads.length, scans.length);
      reads.push(await readOne(path, layout, wedge, request, context));
    }
    const curve = curveOf(reads, layout, wedge, request);
    const text = (value: string) => [new TextEncoder().encode(value)];
    await curveSlot.write(text(`${JSON.stringify(curve, null, 2)}\n`));
    const pictures = reads.map(({ picture }) => picture);
    await sheetSlot.write(text(curveSheet(curve, layout, pictures)));
    if (into !== null) {
      const slot = await set.add(into, { overwrite: true });
      await slot.write(text(await enteredCurve(into, curve, files.curve)));
    }
    context.signal.throwIfAborted();
    await set.commit();
    const written = [files.curve, files.sheet, ...(into === null ? [] : [into])];
    return { curve, proofs: reads.map(({ proof }) => proof), written };
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

/** A strip held against a curve. */
export interface StripDrift extends Drift {
  /** Both were read by a wedge, or neither: otherwise two scanners' tone curves are compared too. */
  readonly isLikeRead: boolean;
}

/** A control strip that was read, and what it was held against. */
export interface CheckedStrip {
  readonly drift: StripDrift;
  readonly curve: CurveFile;
  readonly layout: TestPlateLayout;
  /** Name of the wedge in the scan; null without one. */
  readonly wedge: string | null;
}

/** Reads the control strip of a later print and compares it with a curve. */
export async function checkStrip(
  request: Pick<CalibrateRequest, 'layoutFile' | 'wedgeFile' | 'maxPixels'> & {
    readonly scan: string;
    readonly curveFile: string;
  },
  context: RunContext,
): Promise<CheckedStrip> {
  const { curveFile, layoutFile, wedgeFile, scan } = request;
  const curve = parsedFrom(curveFile, (await readJsonObject(curveFile, 'curve')).value, parseCurve);
  const layout = await readLayout(layoutFile);
  const wedge = wedgeFile === null ? null : await readWedge(wedgeFile);
  const seen = await readScan(scan, request.maxPixels, context);
  try {
    const drift = driftOf(readByWedge(seen, layout, wedge).proof.patches, curve);
    const isLikeRead = (curve.wedge === null) === (wedge === null);
    return { drift: { ...drift, isLikeRead }, curve, layout, wedge: wedge?.name ?? null };
  } catch (error) {
    throw error instanceof EtchError ? namedFor(scan, error) : error;
  }
}
