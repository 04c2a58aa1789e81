import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import type { TestPatch, TestPlateLayout } from '../testplate/layout.ts';
import { type Blob, roundBlobs } from './blobs.ts';
import { affineMisfit, type Homography, homographyOf, type Place, scaleAt, through } from './homography.ts';
import { rising } from './monotone.ts';
import { LONG_SIDE_PX, PAPER, type Reduced, reduced } from './reduced.ts';
import { refined } from './refine.ts';
import type { GreyScan } from './scan.ts';

/** Where a test plate lies in a scan. */
export interface Found {
  /** From millimetres on the plate, print-reading, to pixels of the scan. */
  readonly toScan: Homography;
  /** Centres of the fiducials in the scan, in the layout's order. */
  readonly fiducialsPx: readonly Place[];
  readonly mirrored: boolean;
  /** Pixels to an inch of the print, at the middle of the plate. */
  readonly ppi: number;
  /** How far the fiducials are from a shifted, turned, scaled and sheared plate, in mm: what the angle of view does. */
  readonly shapeMm: number;
  /** Correlation of the darkness found with that of the likeliest rising curve, 0 … 1. */
  readonly likeness: number;
}

/** Darkness, relative to the paper near by, below which ink is looked for; the first that finds the plate is taken. */
const THRESHOLDS = [0.45, 0.3, 0.6, 0.2] as const;

/** How wide the plate may be in the scan, as a share of the scan's long side. */
const PLATE_IN_SCAN = { least: 0.25, most: 1.05 } as const;

const MOST_BLOBS = 120;

/** How far a fiducial may lie from where two others say, as a share of the plate's diagonal: the angle of view. */
const OFF_PLACE = 0.07;

/** How far its diameter may be from what the distances say. */
const OFF_SIZE = 1.45;

const MOST_TRIED = 24;

/** Half the side of what is looked at of a patch, as a share of its own. */
const INNER_HALF = 0.3;

/** Likeness below which it is another plate, or none. */
const LEAST_LIKE = 0.8;

/** Likeness from which no other guess is tried: turned or mirrored, a plate comes nowhere near. */
const SURELY_LIKE = 0.93;

interface Guess {
  readonly blobs: readonly Blob[];
  readonly mirrored: boolean;
  readonly cost: number;
}

/** Indices of the two fiducials farthest from each other. */
function farthest(places: readonly Place[]): [number, number] {
  let best: [number, number] = [0, 1];
  let most = 0;
  places.forEach(([ax, ay], a) => {
    places.forEach(([bx, by], b) => {
      const far = Math.hypot(ax - bx, ay - by);
      if (far > most + 1e-9) [most, best] = [far, [a, b]];
    });
  });
  return best;
}

/** Every set of blobs that lies as the fiducials do, near enough to one shift, turn and scale; likeliest first. */
function guesses(blobs: readonly Blob[], layout: TestPlateLayout, small: Reduced): Guess[] {
  const { fiducials } = layout;
  const places = fiducials.map(({ xMm, yMm }): Place => [xMm, yMm]);
  const [i, j] = farthest(places);
  const longPx = Math.max(small.widthPx, small.heightPx);
  const longMm = Math.max(layout.widthMm, layout.heightMm);
  const diagonalMm = Math.hypot(places[j]![0] - places[i]![0], places[j]![1] - places[i]![1]);
  const made: Guess[] = [];
  for (const a of blobs) {
    for (const b of blobs) {
      if (a === b) continue;
      const scale = Math.hypot(b.x - a.x, b.y - a.y) / diagonalMm;
      if (scale * longMm < PLATE_IN_SCAN.least * longPx || scale * longMm > PLATE_IN_SCAN.most * longPx)
        continue;
      if (!sizeFits(a, fiducials[i]!.diameterMm, scale) || !sizeFits(b, fiducials[j]!.diameterMm, scale))
        continue;
      for (const mirrored of [false, true]) {
        const guess = completed(a, b, i, j, mirrored);
        if (guess) made.push(guess);
      }
    }
  }
  return made.sort((a, b) => a.cost - b.cost).slice(0, MOST_TRIED);

  function completed(a: Blob, b: Blob, i: number, j: number, mirrored: boolean): Guess | null {
    const flip = mirrored ? -1 : 1;
    // The turn and scale as one complex number: (b − a) over the same difference on the plate
    const [px, py] = [flip * (places[j]![0] - places[i]![0]), places[j]![1] - places[i]![1]];
    const [qx, qy] = [b.x - a.x, b.y - a.y];
    const [re, im] = [(qx * px + qy * py) / diagonalMm ** 2, (qy * px - qx * py) / diagonalMm ** 2];
    const scale = Math.hypot(re, im);
    const chosen: Blob[] = [];
    let cost = 0;
    for (const [k, fiducial] of fiducials.entries()) {
      const [x, y] = [flip * (fiducial.xMm - places[i]![0]), fiducial.yMm - places[i]![1]];
      const [wantX, wantY] = [a.x + re * x - im * y, a.y + im * x + re * y];
      let best = OFF_PLACE * diagonalMm * scale;
      let blob: Blob | null = k === i ? a : k === j ? b : null;
      if (blob === null) {
        for (const other of blobs) {
          const off = Math.hypot(other.x - wantX, other.y - wantY);
          if (off < best && sizeFits(other, fiducial.diameterMm, scale)) [best, blob] = [off, other];
        }
        if (blob === null || chosen.includes(blob)) return null;
        cost += best / (diagonalMm * scale) / OFF_PLACE;
      }
      chosen.push(blob);
      cost += blob.oddness + Math.abs(Math.log(blob.diameterPx / (fiducial.diameterMm * scale)));
      if (blob.kind !== fiducial.kind) cost += 1;
    }
    return { blobs: chosen, mirrored, cost };
  }
}

const sizeFits = ({ diameterPx }: Blob, diameterMm: number, scale: number): boolean => {
  const off = diameterPx / (diameterMm * scale);
  return off < OFF_SIZE && off > 1 / OFF_SIZE;
};

/**
 * How much of the darkness found at the places of the plate's own tints a rising function of the tones asked for can
 * tell, as a correlation: whatever the curve, a test plate has one. −1 where they lie outside the small copy.
 */
function likenessOf(
  { widthPx, heightPx, tone }: Reduced,
  tints: readonly TestPatch[],
  h: Homography,
): number {
  const darks: number[] = [];
  for (const patch of tints) {
    const [xMm, yMm] = [patch.xMm + patch.widthMm / 2, patch.yMm + patch.heightMm / 2];
    const [x, y] = through(h, xMm, yMm);
    // As much as lies in the patch at any turn: of a coarse screen less is one dot or none
    const half = Math.floor(INNER_HALF * Math.min(patch.widthMm, patch.heightMm) * scaleAt(h, xMm, yMm));
    const [left, top, side] = [Math.floor(x) - half, Math.floor(y) - half, 2 * half + 1];
    if (left < 0 || top < 0 || left + side > widthPx || top + side > heightPx) return -1;
    let sum = 0;
    for (let v = top; v < top + side; v++) {
      for (let u = left; u < left + side; u++) sum += tone[v * widthPx + u]!;
    }
    // The cube root as in L*, so that dark steps count like light ones
    darks.push(1 - Math.cbrt(sum / (side * side) / PAPER));
  }
  const mean = darks.reduce((sum, dark) => sum + dark, 0) / darks.length;
  // patches of one tone must be taken together, or their own order would be made to rise
  const groups: { sum: number; count: number; share: number }[] = [];
  tints.forEach(({ share }, i) => {
    if (groups.at(-1)?.share !== share) groups.push({ sum: 0, count: 0, share });
    groups.at(-1)!.sum += darks[i]!;
    groups.at(-1)!.count++;
  });
  const fitted = rising(
    groups.map(({ sum, count }) => sum / count),
    groups.map(({ count }) => count),
  );
  const told = groups.reduce((sum, { count }, i) => sum + count * (fitted[i]! - mean) ** 2, 0);
  const all = darks.reduce((sum, dark) => sum + (dark - mean) ** 2, 0);
  return all > 0 ? Math.sqrt(told / all) : 0;
}

/** The tints of the plate's own screen, lightest first. */
const ownTints = ({ patches }: TestPlateLayout): TestPatch[] =>
  patches.filter(({ screen }) => screen === null).sort((a, b) => a.share - b.share);

/** A guess with how well the tones at its places fit. */
interface Seen {
  readonly guess: Guess;
  readonly likeness: number;
}

/** The likeliest guess in a small copy; null where no four dark areas lie as the marks do. */
function likeliest(small: Reduced, layout: TestPlateLayout): Seen | null {
  const tints = ownTints(layout);
  const places = placesOf(layout);
  const longPx = Math.max(small.widthPx, small.heightPx);
  const longMm = Math.max(layout.widthMm, layout.heightMm);
  const sizes = layout.fiducials.map(({ diameterMm }) => (diameterMm * longPx) / longMm);
  const leastPx = (Math.min(...sizes) * PLATE_IN_SCAN.least) / OFF_SIZE;
  const mostPx = Math.max(...sizes) * PLATE_IN_SCAN.most * OFF_SIZE;
  let best: Seen | null = null;
  for (const threshold of THRESHOLDS) {
    const blobs = roundBlobs(small, threshold, leastPx, mostPx, MOST_BLOBS);
    for (const guess of guesses(blobs, layout, small)) {
      const h = homographyOf(
        places,
        guess.blobs.map(({ x, y }) => [x, y]),
      );
      const likeness = likenessOf(small, tints, h);
      if (!best || likeness > best.likeness) best = { guess, likeness };
      if (likeness >= SURELY_LIKE) break;
    }
    if (best && best.likeness >= LEAST_LIKE) break;
  }
  return best;
}

const placesOf = ({ fiducials }: TestPlateLayout): Place[] =>
  fiducials.map(({ xMm, yMm }): Place => [xMm, yMm]);

/**
 * Finds a test plate in a scan: turned by any angle, mirrored or not, seen a little from the side, under uneven
 * light. EtchError `refused`: `no-fiducials` where no four marks lie as those of the plate, `other-plate` where they
 * do and the tones do not, `layout-without-marks` where the layout has fewer than four.
 */
export function findPlate(scan: GreyScan, layout: TestPlateLayout): Found {
  if (layout.fiducials.length < 4) throw noMarks(layout);
  let small = reduced(scan, LONG_SIDE_PX.coarse);
  let best = likeliest(small, layout);
  if (!best || best.likeness < SURELY_LIKE) {
    small = reduced(scan, LONG_SIDE_PX.fine);
    best = likeliest(small, layout);
  }
  if (!best) throw noFiducials();
  if (best.likeness < LEAST_LIKE) throw otherPlate(layout, best.likeness);
  const { byPx } = small;
  const fiducialsPx = best.guess.blobs.map(
    ({ x, y, diameterPx }): Place => refined(scan, x * byPx, y * byPx, diameterPx * byPx),
  );
  const places = placesOf(layout);
  const toScan = homographyOf(places, fiducialsPx);
  const pxPerMm = scaleAt(toScan, layout.widthMm / 2, layout.heightMm / 2);
  return {
    toScan,
    fiducialsPx,
    mirrored: best.guess.mirrored,
    ppi: pxPerMm * MM_PER_INCH,
    shapeMm: affineMisfit(places, fiducialsPx) / pxPerMm,
    likeness: best.likeness,
  };
}

const noFiducials = (): EtchError =>
  new EtchError(
    'refused',
    'no-fiducials',
    'Reading a scan: the three discs and the ring near the corners of the test plate were not found',
    'Scan the whole print with some paper around it, flat, all four corner marks inked and nothing lying on it.',
  );

const noMarks = ({ id }: TestPlateLayout): EtchError =>
  new EtchError(
    'refused',
    'layout-without-marks',
    `Reading a scan: layout ${id} has no marks in its corners, by which its patches are found`,
    'Give the layout of a whole test plate.',
  );

const otherPlate = ({ id }: TestPlateLayout, likeness: number): EtchError =>
  new EtchError(
    'refused',
    'other-plate',
    `Reading a scan: four marks lie as those of test plate ${id}, but its tones are not where they should be (likeness ${likeness.toFixed(2)}, at least ${LEAST_LIKE} wanted)`,
    'Give the layout that was written beside this very plate; its name is printed on it.',
  );
