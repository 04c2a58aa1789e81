import { uprightSize } from '../../core/geometry-orientation.ts';
import { type PlaneSize, resized } from '../../core/proof/box.ts';
import { codeOfLight, LIGHT_STEPS } from '../../core/proof/codes.ts';
import { type ReducedPlate, reducedRowsOf } from '../../core/proof/ink.ts';
import { greyUri, rgbUri } from '../../io/sheet-image.ts';
import type { SheetPicture, SheetPictures } from '../../report/jobsheet/pictures.ts';
import { NO_PLATE } from '../no-plate.ts';
import type { JudgeSetup } from '../plate/setup.ts';
import type { GreySource } from '../plate/tone-source.ts';
import type { Pool } from '../pool.ts';
import { allDone } from './all-done.ts';
import type { Drawn } from './draw.ts';
import type { ShownSmall } from './shown-small.ts';

/** Longer side of a picture on the sheet: 300 ppi at 90 mm. */
export const MOST_PX = 1100;

/** Steps of the histogram of coverage. */
const BINS = 20;

/** Rows of a reduced plate in one piece of work. */
const ROWS = 128;

/** The pixels of a picture on the sheet, and their number to one of the original; never more than one. */
export function pixelsFor({ widthPx, heightPx }: PlaneSize): { size: PlaneSize; scale: number } {
  const scale = Math.min(1, MOST_PX / Math.max(widthPx, heightPx));
  const side = (px: number): number => Math.max(1, Math.round(px * scale));
  return { size: { widthPx: side(widthPx), heightPx: side(heightPx) }, scale };
}

/** Etched shares of the whole plate in larger pixels. */
async function reducedPlate({ id, bitmap }: JudgeSetup, pool: Pool): Promise<ReducedPlate> {
  const { size } = pixelsFor(bitmap);
  const bytes = new SharedArrayBuffer(size.widthPx * size.heightPx * Float32Array.BYTES_PER_ELEMENT);
  const shares = new Float32Array(bytes);
  const starts = Array.from({ length: Math.ceil(size.heightPx / ROWS) }, (_, i) => i * ROWS);
  await Promise.all(
    starts.map(async (from) => {
      const to = Math.min(from + ROWS, size.heightPx);
      shares.set(
        await pool.run({ do: 'reduceRows', plate: id, args: [size, from, to] }),
        from * size.widthPx,
      );
    }),
  );
  return { ...size, shares };
}

/** Areas of the plate by their etched share, over squares of a millimetre or as nearly as fit. */
function binned(shares: Float32Array): number[] {
  const bins = new Array<number>(BINS).fill(0);
  for (const share of shares) {
    const bin = Math.min(BINS - 1, Math.floor(share * BINS));
    bins[bin] = bins[bin]! + 1;
  }
  return bins;
}

/** The same areas in other squares. */
function squaresOf(plate: ReducedPlate, to: PlaneSize): Float32Array {
  const rows = resized(reducedRowsOf(plate), plate, to);
  const squares = new Float32Array(to.widthPx * to.heightPx);
  for (let y = 0; y < to.heightPx; y++) rows(y, squares.subarray(y * to.widthPx, (y + 1) * to.widthPx));
  return squares;
}

/** A drawing as it goes on the sheet; null where none was made. */
async function shown(small: ShownSmall | null): Promise<SheetPicture | null> {
  if (small === null) return null;
  const { rgb, widthPx, widthMm, heightMm } = small;
  return { dataUri: await rgbUri(rgb, widthPx), widthMm, heightMm };
}

/** What is drawn of a plate on its sheet; null where nothing is. */
export interface SheetDrawings {
  readonly proof: Promise<Drawn> | null;
  /** Draws the hold map, over the reduced plate. */
  readonly hold: ((reduced: ReducedPlate) => Promise<ShownSmall>) | null;
}

interface SizeMm {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The picture as it was read, as large as it fits on the plate. */
async function artworkOf(
  source: GreySource,
  { widthMm, heightMm }: SizeMm,
  pool: Pool,
): Promise<SheetPicture> {
  const upright = uprightSize(source.orientation, source.scratch);
  const small = await pool.run({ do: 'reduceSource', plate: NO_PLATE, args: [source, MOST_PX] });
  const fits = Math.min(widthMm / upright.widthPx, heightMm / upright.heightPx);
  return {
    dataUri: await greyUri(small.greys, small.widthPx),
    widthMm: upright.widthPx * fits,
    heightMm: upright.heightPx * fits,
  };
}

/** The plate as the machine sees it, and the areas for its histogram. */
async function plateOf(reduced: ReducedPlate, fire: 'dark' | 'light', { widthMm, heightMm }: SizeMm) {
  const { shares, widthPx } = reduced;
  const codes = new Uint8Array(shares.length);
  for (let i = 0; i < codes.length; i++)
    codes[i] = codeOfLight(LIGHT_STEPS * (fire === 'dark' ? 1 - shares[i]! : shares[i]!));
  const squares = {
    widthPx: Math.max(1, Math.round(widthMm)),
    heightPx: Math.max(1, Math.round(heightMm)),
  };
  const picture: SheetPicture = { dataUri: await greyUri(codes, widthPx), widthMm, heightMm };
  return { picture, coverageBins: binned(squaresOf(reduced, squares)) };
}

/** The pictures of a job sheet and the areas for its histogram, made from the finished bits; none of bits for a plate of tone. */
export async function sheetPictures(
  setup: JudgeSetup | null,
  source: GreySource,
  drawings: SheetDrawings,
  { fire, plate }: { readonly fire: 'dark' | 'light'; readonly plate: SizeMm },
  pool: Pool,
): Promise<{ readonly pictures: SheetPictures; readonly coverageBins: readonly number[] }> {
  const reduced = setup === null ? null : reducedPlate(setup, pool);
  const [artwork, filed, proof, holdMap] = await allDone([
    artworkOf(source, plate, pool),
    reduced?.then((of) => plateOf(of, fire, plate)) ?? null,
    drawings.proof?.then(({ small }) => shown(small)) ?? null,
    reduced?.then(async (of) => shown((await drawings.hold?.(of)) ?? null)) ?? null,
  ]);
  return {
    pictures: { artwork, proof, holdMap, plate: filed?.picture ?? null },
    coverageBins: filed?.coverageBins ?? [],
  };
}
