/*
 * A tone's edge is not line art: drawn as such, its cells next to the edge would be solid, as a rim round the tone. A tone is
 * a square of three cells, all darker or all lighter than half and none of them nearly solid or bare; narrower ones are strokes.
 * The other side is a square of four, else that is a stroke upon the tone, which stays sharp. Our own choice: the softest
 * edge which `openLineCells` takes for line art (a Gaussian of 1.2 cells) has less than three cells of grey on either side.
 */
const TONE_CELLS = 3;
const OTHER_CELLS = 4;
/** Cells, either way, within which the tone has to lie: next to the cells that its edge runs through. */
const NEAR_TONE = 3;
/** The same of the other side: the last cell of the tone whose 5 × 5 reach those cells is two from them, and four cells lie beyond. */
export const TONE_REACH = 6;

/** Bit planes of a row of cells: darker than half throughout, lighter than half, grey. */
export const SIDE_PLANES = 3;

/** Which sides of cells have an edge of tone, a bit for each cell. */
export interface SidePlanes {
  readonly cells: number;
  /** Planes of a row's blocks of 32 cells, `stride` words a block, those of the sides from `from` on; the first cell in bit 31. */
  readonly planes: Int32Array;
  readonly blocks: number;
  readonly stride: number;
  readonly from: number;
  /** Where a row of cells lies, in rows. */
  slot(cellRow: number): number;
}

const ROWS = 2 * TONE_REACH + 1;
/** The block before, the block itself, the block after. */
const ACROSS = 3;

/** Cells to the right, or to the left with a negative `step`, of three words' middle one. */
function stepped(before: number, here: number, after: number, step: number): number {
  if (step === 0) return here;
  if (step > 0) return (here << step) | (after >>> (32 - step));
  return (here >>> -step) | (before << (32 + step));
}

/** Which of the middle words' cells have a square of `side` set cells within `reach` of them. */
function nearSquares(rows: Int32Array, side: number, reach: number): number {
  let [before, here, after] = [0, 0, 0];
  const below = TONE_REACH + reach + 1;
  for (let top = TONE_REACH - reach; top + side <= below; top++) {
    let [a, b, c] = [-1, -1, -1];
    for (let at = top * ACROSS; at < (top + side) * ACROSS; at += ACROSS) {
      a &= rows[at]!;
      b &= rows[at + 1]!;
      c &= rows[at + 2]!;
    }
    // left ends of runs long enough
    for (let run = 1; run < side; run++) {
      a &= stepped(0, a, b, 1);
      b &= stepped(0, b, c, 1);
      c &= c << 1;
    }
    before |= a;
    here |= b;
    after |= c;
  }
  let near = 0;
  for (let step = -reach; step <= reach + 1 - side; step++) near |= stepped(before, here, after, step);
  return near;
}

/** Which cells have the tone and the other side near. */
const edgesOf = (tone: Int32Array, other: Int32Array): number =>
  nearSquares(tone, TONE_CELLS, NEAR_TONE) & nearSquares(other, OTHER_CELLS, TONE_REACH);

/**
 * Which cells of a block lie at the edge of a tone: within three cells of each there are 3 × 3 cells of tone, within six 4 × 4 of
 * the other side. Beyond the picture's sides the outermost cells go on.
 */
export function openToneEdges({ cells, planes, blocks, stride, from, slot }: SidePlanes) {
  const dark = new Int32Array(ROWS * ACROSS);
  const light = new Int32Array(ROWS * ACROSS);
  const darkTone = new Int32Array(ROWS * ACROSS);
  const lightTone = new Int32Array(ROWS * ACROSS);
  const lastBlock = blocks - 1;
  const lastBit = 31 - ((cells - 1) & 31);

  /** Word of a plane, with the outermost cells going on. */
  const wordAt = (row: number, block: number, plane: number): number => {
    const inside = Math.min(lastBlock, Math.max(0, block));
    const word = planes[(row * blocks + inside) * stride + from + plane]!;
    if (block < 0) return word >> 31;
    const end = -((word >>> lastBit) & 1);
    if (block > lastBlock) return end;
    return block < lastBlock ? word : (word & (-1 << lastBit)) | (end & ~(-1 << lastBit));
  };

  return (cellRow: number, block: number): number => {
    let anyGrey = 0;
    for (let j = 0, at = 0; j < ROWS; j++) {
      const row = slot(cellRow - TONE_REACH + j);
      for (let k = -1; k <= 1; k++, at++) {
        const grey = wordAt(row, block + k, 2);
        dark[at] = wordAt(row, block + k, 0);
        light[at] = wordAt(row, block + k, 1);
        darkTone[at] = dark[at]! & grey;
        lightTone[at] = light[at]! & grey;
        anyGrey |= darkTone[at]! | lightTone[at]!;
      }
    }
    if (anyGrey === 0) return 0;
    return edgesOf(darkTone, light) | edgesOf(lightTone, dark);
  };
}
