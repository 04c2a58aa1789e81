import { EtchError } from '../errors.ts';
import type { TestPlateLayout } from '../testplate/layout.ts';
import { type Found, findPlate } from './find.ts';
import { fitPaper, type Paper } from './paper.ts';
import { misplacedMm } from './places.ts';
import { inScan, type PatchReading, readPatch } from './sample.ts';
import type { GreyScan } from './scan.ts';

/** One scanned proof, read. */
export interface ProofReading {
  readonly found: Found;
  readonly paper: Paper;
  readonly patches: readonly PatchReading[];
  /** How far patches lie from their places, root of the mean square, in mm; null where none has edges of its own. */
  readonly misplacedMm: number | null;
}

/** Coarsest scan that is read; a twentieth less is let through, as paper and sensors are not exact. */
const LEAST_PPI = 300;
const PPI_SLACK = 0.95;

const LEAST_PATCH_PX = 30;

/** Patches that lie farther off than this on average are another plate's. */
const MOST_MISPLACED_MM = 0.5;

/** Share of pixels at the end of the scale above which tones beyond it are lost. */
const MOST_CLIPPED = 0.2;

/** Ink tone from which a patch is a solid. */
const SOLID = 0.95;

/**
 * Reads one scan of a proof, wherever the plate was found in it. EtchError `refused` with `no-fiducials`, `other-plate`, `no-paper`, `scan-too-coarse`,
 * `patches-too-small`, `scan-clipped` or `plate-cut-off` where it is no measurement.
 */
export function readProof(
  scan: GreyScan,
  layout: TestPlateLayout,
  found: Found = findPlate(scan, layout),
): ProofReading {
  if (found.ppi < LEAST_PPI * PPI_SLACK) throw tooCoarse(found.ppi);
  const whole = { xMm: 0, yMm: 0, widthMm: layout.widthMm, heightMm: layout.heightMm };
  const cut = inScan(scan, found.toScan, whole)
    ? null
    : layout.patches.find((patch) => !inScan(scan, found.toScan, patch));
  if (cut) throw cutOff(cut.id);
  const paper = fitPaper(scan, found.toScan, layout);
  const patches = layout.patches.map((patch) => readPatch(scan, found.toScan, paper, patch));
  const small = patches.find(({ sidePx }) => sidePx < LEAST_PATCH_PX);
  if (small) throw tooSmall(small);
  const solids = patches.filter(({ share }) => share >= SOLID);
  const black = solids.reduce((sum, { clipped }) => sum + clipped, 0) / Math.max(1, solids.length);
  if (paper.clipped > MOST_CLIPPED || black > MOST_CLIPPED) throw clipped(paper.clipped, black);
  const off = misplacedMm(scan, found.toScan, paper, layout);
  if (off !== null && off > MOST_MISPLACED_MM) throw misplaced(layout.id, off);
  return { found, paper, patches, misplacedMm: off };
}

const refused = (code: string, message: string, hint: string): EtchError =>
  new EtchError('refused', code, `Reading a scan: ${message}`, hint);

const tooCoarse = (ppi: number): EtchError =>
  refused(
    'scan-too-coarse',
    `it has ${Math.round(ppi)} pixels to an inch of the print; at least ${LEAST_PPI} are wanted`,
    'Scan at 600 ppi, or at least 300.',
  );

const tooSmall = ({ id, sidePx }: PatchReading): EtchError =>
  refused(
    'patches-too-small',
    `patch ${id} is ${Math.round(sidePx)} pixels wide; at least ${LEAST_PATCH_PX} are wanted`,
    'Scan at 600 ppi.',
  );

const cutOff = (id: string): EtchError =>
  refused('plate-cut-off', `patch ${id} lies outside it`, 'Scan the whole print with some paper around it.');

const percent = (share: number): string => `${Math.round(share * 100)} %`;

const clipped = (white: number, black: number): EtchError =>
  refused(
    'scan-clipped',
    `${percent(white)} of the paper is at the brightest code and ${percent(black)} of the solids at the darkest, so tones there cannot be told apart`,
    'Switch off automatic contrast, tone and sharpening in the scanner, and scan again in 16-bit grey.',
  );

const misplaced = (id: string, mm: number): EtchError =>
  refused(
    'other-plate',
    `patches lie ${mm.toFixed(1)} mm from their places on test plate ${id}, on average`,
    'Give the layout that was written beside this very plate; its name is printed on it.',
  );
