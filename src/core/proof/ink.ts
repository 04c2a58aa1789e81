import type { Bitmap } from '../bitmap.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { printedMm, type Stretch } from '../register/stretch.ts';
import type { SpotShape } from '../spot/regions.ts';
import { openEtchedRow } from '../spot/rows.ts';
import { type PlaneSize, resized } from './box.ts';
import { type Cells, openCells } from './cells.ts';
import { wiped } from './pools.ts';
import type { ShareRows } from './rows.ts';
import { leftBare } from './squash.ts';

/** A finished plate, bit 1 = etched, as the beam, the ink and the press will treat it. */
export interface InkedPlate {
  readonly map: Bitmap;
  /** True where the plate is the print's mirror image, as plates mostly are. */
  readonly mirrored: boolean;
  readonly pitchMm: number;
  /** What the plate was made larger by, and the print is smaller than it, along each axis, as a share of the plate. */
  readonly stretch: Stretch;
  /** The beam; null leaves the pixels as they are. */
  readonly spot: { readonly spotMm: number; readonly beam: SpotShape['beam'] } | null;
  readonly prints: 'kept' | 'etched';
  /** What printing ground gains on every side when its ink is pressed out, in mm, 0 or more. */
  readonly squashMm: number;
  /** Widest etched area that holds ink when the plate is wiped, in mm; null or above 5: all hold it. */
  readonly poolMm: number | null;
  /** Share of ink that wiping leaves on the ground of a plate, 0…1. */
  readonly plateTone: number;
  /** Where this ink is on the plate at all, as the plate lies; everywhere where absent. */
  readonly window?: Bitmap;
}

/** Where one plate puts ink on the paper, print-reading. */
export interface InkPlane extends PlaneSize {
  /** Share of each pixel's paper that ink covers, 0…1. */
  readonly rows: ShareRows;
  /** Where the whole of it is kept: its ink, row by row, a byte each, from 0 for none to 255 for solid. */
  readonly kept?: Uint8Array;
}

/** Pools are looked at in cells of half a proof's pixel; of a fine proof, in its pixels. */
const cellsPerPx = (proofPpi: number): number => (proofPpi > 300 ? 1 : 2);

/** Pools so wide are taken to hold all their ink: looking farther for a wall would take much memory. */
const MOST_POOL_MM = 5;

/** Pixels of a proof along a side: the whole number nearest to the size, at least one. */
export const proofPx = (mm: number, proofPpi: number): number =>
  Math.max(1, Math.round((mm * proofPpi) / MM_PER_INCH));

/** The pixels of a proof of a plate, its stretch taken off. */
export const proofSize = (
  { widthPx, heightPx }: PlaneSize,
  pitchMm: number,
  proofPpi: number,
  stretch: Stretch,
): PlaneSize => ({
  widthPx: proofPx(printedMm(widthPx * pitchMm, stretch.x), proofPpi),
  heightPx: proofPx(printedMm(heightPx * pitchMm, stretch.y), proofPpi),
});

/**
 * Ink on the paper at `proofPpi`, from the bits of the finished plate and never from the picture. The print fills
 * a whole number of pixels, so its size is right to half a pixel. Memory: some rows, and a block of cells for pools.
 */
export function openInk(plate: InkedPlate, proofPpi: number): InkPlane {
  const { map, pitchMm, stretch } = plate;
  const size = proofSize(map, pitchMm, proofPpi, stretch);
  const inked = plate.prints === 'kept' ? keptInk(plate, size) : etchedInk(plate, size, cellsPerPx(proofPpi));
  const lying = plate.window ? seenThrough(inked, plate.window, size) : inked;
  const rows: ShareRows = (y, into) => {
    lying(y, into);
    if (plate.mirrored) into.reverse();
  };
  return { ...size, rows };
}

/** Ink of a plate where a window is open. */
function seenThrough(inked: ShareRows, window: Bitmap, size: PlaneSize): ShareRows {
  const bits = openEtchedRow(null);
  const open = resized((y, into) => bits(window, y, into), window, size);
  const shares = new Float32Array(size.widthPx);
  return (y, into) => {
    inked(y, into);
    open(y, shares);
    for (let x = 0; x < into.length; x++) into[x] = into[x]! * shares[x]!;
  };
}

/** Etched shares of a whole plate as it lies, 0…1, in larger pixels. */
export interface ReducedPlate extends PlaneSize {
  readonly shares: Float32Array;
}

/** Rows of etched shares, 0 … 1, of a plate that is reduced already. */
export const reducedRowsOf =
  ({ shares, widthPx }: ReducedPlate): ShareRows =>
  (y, into) =>
    into.set(shares.subarray(y * widthPx, (y + 1) * widthPx));

/** Ink where a reduced plate prints, in pixels of `size`: nothing is done to it by beam, wiping or press. */
export function reducedInk(
  plate: ReducedPlate,
  { prints, mirrored }: Pick<InkedPlate, 'prints' | 'mirrored'>,
  size: PlaneSize,
): InkPlane {
  const etched = resized(reducedRowsOf(plate), plate, size);
  const rows: ShareRows = (y, into) => {
    etched(y, into);
    if (prints === 'kept') for (let x = 0; x < into.length; x++) into[x] = 1 - into[x]!;
    if (mirrored) into.reverse();
  };
  return { ...size, rows };
}

const shapeOf = ({ spot, pitchMm }: InkedPlate): SpotShape | null =>
  spot && { spotPx: spot.spotMm / pitchMm, beam: spot.beam };

/**
 * From so many pixels of the plate to one of the proof on, the plate is looked at in cells of four by four; of two by
 * two where ink is pressed out, since the gain of fine screens goes by their edges.
 */
const CELLS_FROM = 4;

/** Etched shares of the plate as it lies, in its pixels or in larger cells. */
interface EtchedPlane extends Cells {
  readonly cellMm: number;
  /** True where cells are about as large as a proof's pixels. */
  readonly coarse: boolean;
}

function etchedPlane(plate: InkedPlate, size: PlaneSize): EtchedPlane {
  const { map, pitchMm } = plate;
  const { widthPx, heightPx } = map;
  if (widthPx >= CELLS_FROM * size.widthPx) {
    const side = plate.squashMm > 0 ? 2 : 4;
    return { ...openCells(map, shapeOf(plate), side), cellMm: side * pitchMm, coarse: true };
  }
  const etched = openEtchedRow(shapeOf(plate));
  const extent = { widthPx, heightPx };
  return { ...extent, extent, rows: (y, into) => etched(map, y, into), cellMm: pitchMm, coarse: false };
}

const NEARLY = 1e-4;

/**
 * Where every pixel is fired and marks overlap, though not enough, tips stand between four of them, by the model of marks
 * with hard edges. Burnt from four sides, they lie deeper than the face, and take no ink (from memory): such ground is bare. Of
 * marks that do not overlap, walls are left, and print.
 */
function withoutTips(plate: InkedPlate, rows: ShareRows): ShareRows {
  const shape = shapeOf(plate);
  const solid = solidShare(plate);
  if (shape === null || shape.spotPx <= 1 || solid > 1 - NEARLY) return rows;
  return (y, into) => {
    rows(y, into);
    for (let x = 0; x < into.length; x++) if (into[x]! > solid - NEARLY) into[x] = 1;
  };
}

/** A rolled-up block: ink stands on what is kept. */
function keptInk(plate: InkedPlate, size: PlaneSize): ShareRows {
  const plane = etchedPlane(plate, size);
  const bare = leftBare(withoutTips(plate, plane.rows), plane, plate.squashMm / plane.cellMm);
  const reduced = resized(bare, plane.extent, size);
  return (y, into) => {
    reduced(y, into);
    for (let x = 0; x < into.length; x++) into[x] = 1 - into[x]!;
  };
}

/** A wiped plate: ink lies in what is etched, and a film of it on the ground. */
function etchedInk(plate: InkedPlate, size: PlaneSize, cells: number): ShareRows {
  const { map, plateTone, poolMm } = plate;
  const plane = etchedPlane(plate, size);
  if (poolMm === null || poolMm > MOST_POOL_MM) {
    const reduced = resized(plane.rows, plane.extent, size);
    return (y, into) => {
      reduced(y, into);
      for (let x = 0; x < into.length; x++) into[x] = into[x]! + plateTone * (1 - into[x]!);
    };
  }
  // a wall as thin as a pixel fills a quarter of a cell that is cut from the plate itself
  const fine = plane.coarse ? plane : { widthPx: size.widthPx * cells, heightPx: size.heightPx * cells };
  const shareRows = plane.coarse ? plane.rows : resized(plane.rows, plane.extent, fine);
  const cellMm = plane.coarse ? plane.cellMm : (map.widthPx * plate.pitchMm) / fine.widthPx;
  const inked = wiped(shareRows, fine, {
    holdsCells: poolMm / 2 / cellMm,
    solid: solidShare(plate),
    plateTone,
  });
  return resized(inked, plane.coarse ? plane.extent : fine, size);
}

/** Etched share of a pixel amidst fired ones. */
function solidShare(plate: InkedPlate): number {
  const { spot, pitchMm } = plate;
  const around = spot === null ? 0 : Math.ceil(spot.spotMm / pitchMm) + 1;
  const width = 2 * around + 1;
  const strideBytes = (width + 7) >>> 3;
  const map = {
    widthPx: width,
    heightPx: width,
    strideBytes,
    data: new Uint8Array(strideBytes * width).fill(0xff),
  };
  const row = new Float32Array(width);
  openEtchedRow(shapeOf(plate))(map, around, row);
  return row[around]!;
}
