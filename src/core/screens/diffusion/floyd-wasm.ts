import { openWasm } from '../../wasm/open.ts';
import type { ScreenRow } from '../contract.ts';
import type { DiffusionRun } from './contract.ts';
import {
  BLOCK_END,
  BLOCK_PX,
  CARRIED_AT,
  diffuseText,
  GROUP_PX,
  packText,
  prepareText,
} from './floyd-text.ts';
import { seedRow } from './noise.ts';
import { thresholdOf, UNIT_BITS } from './units.ts';

/** Nine sixteenths of an error go to the next row: turns tone into what a row hands down. */
export const HANDED_DOWN = (9 / 16) * (1 << UNIT_BITS);

const kernels = {
  prepare: prepareText,
  forward: diffuseText(false),
  back: diffuseText(true),
  pack: packText,
};

/** Pixels that are worked out together where one need not wait for the other. */
const STEP_PX = 16;

/** Where everything lies, in bytes: tones of 16 bits, two rows of shares of 32 with room for four on each side, bits. */
function layoutOf(widthPx: number) {
  const stepsPx = Math.ceil(widthPx / STEP_PX) * STEP_PX;
  const sharesAt = BLOCK_END + 2 * stepsPx + 16;
  const othersAt = sharesAt + 4 * stepsPx + 16;
  const bitsAt = othersAt + 4 * stepsPx + 16;
  return { toneAt: BLOCK_END, sharesAt, othersAt, bitsAt, bytes: bitsAt + stepsPx / 8 };
}

/** `openPlainFloyd` to the same bits, block by block: what does not wait for the pixel before goes by vectors. Null where the engine cannot. */
export function openFloydWasm(run: DiffusionRun): ScreenRow | null {
  const { widthPx } = run;
  const { toneAt, sharesAt, othersAt, bitsAt, bytes } = layoutOf(widthPx);
  const opened = openWasm(kernels, bytes);
  if (opened === null) return null;
  const { buffer } = opened;
  // taken out of their object, whose shape is another each time: see `openVectorRows`
  const { prepare, forward, back: backward, pack } = opened.run;
  const threshold = thresholdOf(run);
  const serpentine = run.scan === 'serpentine';
  const keepSides = serpentine && run.sides === 'keep';
  const tones = new Uint16Array(buffer, toneAt, widthPx);
  const ink = new Uint8Array(buffer, bitsAt, (widthPx + 7) >> 3);
  const carried = new Int32Array(buffer, CARRIED_AT, 1);
  // one number more on each side takes the error that leaves the picture
  const sharesFrom = (at: number): Int32Array => new Int32Array(buffer, at - 4, widthPx + 2);
  const [shares, others] = [sharesFrom(sharesAt), sharesFrom(othersAt)];
  let toOthers = false;
  let wasBack = false;

  /** Tells what the row wants of the one above: addresses of the shares that a pixel takes five, three and one of. */
  const screenRow = (back: boolean, below: number, behind: number, ahead: number): void => {
    const sharesTo = toOthers ? othersAt : sharesAt;
    const last = Math.floor((widthPx - 1) / BLOCK_PX) * BLOCK_PX;
    for (let i = 0; i <= last; i += BLOCK_PX) {
      const start = back ? last - i : i;
      const count = Math.min(BLOCK_PX, widthPx - start);
      const from = 4 * start;
      const at = toneAt + 2 * start;
      prepare(at, at + 2 * count, below + from, behind + from, ahead + from, threshold);
      const whole = 4 * (count - (count % GROUP_PX));
      if (back) backward(4 * count, whole, 0, sharesTo + from);
      else forward(0, whole, 4 * count, sharesTo + from);
      pack(0, 4 * count, bitsAt + (start >> 3));
    }
  };

  return (tone, y, bits, at) => {
    const back = serpentine && (y & 1) === 1;
    tones.set(tone);
    const above = toOthers ? sharesAt : othersAt;
    if (y === run.firstRow) {
      // as if each pixel had one share to take: from the row that this one will overwrite, which is empty, it takes none
      const empty = toOthers ? othersAt : sharesAt;
      seedRow((toOthers ? shares : others).subarray(1, widthPx + 1), tone, run, y, HANDED_DOWN);
      screenRow(back, empty, empty, above);
    } else screenRow(back, above, wasBack ? above - 4 : above + 4, wasBack ? above + 4 : above - 4);
    bits.set(ink, at);
    if (keepSides) {
      const made = toOthers ? others : shares;
      const [first, last] = back ? [widthPx, 1] : [1, widthPx];
      // three shares of the first pixel leave the picture: it takes them back as one of the number beside it
      made[back ? widthPx + 1 : 0] = 3 * made[first]!;
      made[back ? 0 : widthPx + 1] = 0;
      // the next row starts below the pixel at which this one ends, and that takes the share that would leave
      carried[0]! += made[last]!;
    } else carried[0] = 0;
    toOthers = !toOthers;
    wasBack = back;
  };
}
