import { openWasm } from '../wasm/open.ts';
import { type AxisFilter, SIX } from './filter.ts';
import { acrossText, downText } from './kernels.ts';
import type { Passes } from './passes.ts';

/** Pixels, or taps, of 16 bits in a vector. */
const LANES = 8;
const VECTOR_BYTES = 16;
/** Numbers of 32 bits that tell an output pixel where to read (see `acrossText`), and a pair of taps (`downText`). */
const PLACE = 3;
const PAIR = 3;

const kernels = { across: acrossText, down: downText };

/** Weights are held with their signs turned, since 1 is 32768 of them and 16 bits end at −32768. */
const fits = ({ weights }: AxisFilter): boolean => weights.every((w) => w > -32768 && w <= 32768);

/** Parts of one memory, each where a vector may begin. */
function layout(bytes: readonly number[]): { at: number[]; total: number } {
  let total = 0;
  const at = bytes.map((part) => {
    const from = total;
    total += Math.ceil(part / VECTOR_BYTES) * VECTOR_BYTES;
    return from;
  });
  return { at, total };
}

/** The taps that bound the result of output pixel `i`. */
function nearTaps({ taps, near0, near1 }: AxisFilter, i: number): [from: number, to: number] {
  return taps === SIX ? [2, 4] : [near0[i]!, near1[i]!];
}

/**
 * The passes by vectors, to the same bits as the plain ones: down, eight pixels at a time, takes an eleventh of their time, across, eight
 * taps at a time, two fifths. Null where the engine has no such vectors or no room for a memory of their kind.
 */
export function openVector(sourcePx: number, across: AxisFilter, down: AxisFilter): Passes | null {
  if (!fits(across) || !fits(down)) return null;
  const outPx = across.start.length;
  const taps = Math.ceil(across.taps / LANES) * LANES;
  const pad = taps + LANES;
  const rowBytes = Math.ceil(outPx / LANES) * VECTOR_BYTES;
  const parts = layout([
    down.taps * rowBytes,
    rowBytes,
    2 * (sourcePx + 2 * pad),
    4 * PLACE * outPx,
    2 * taps * outPx,
    2 * PAIR * down.taps,
    4 * down.taps,
  ]);
  const [ringAt, outAt, paddedAt, placesAt, weightsAt, pairsAt, nearAt] = parts.at as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const opened = openWasm(kernels, parts.total);
  if (opened === null) return null;
  const { buffer } = opened;
  // taken out of their object, whose shape is another for each memory: loops that met it were compiled anew each time
  const { across: filterAcross, down: filterDown } = opened.run;

  const places = new Int32Array(buffer, placesAt, PLACE * outPx);
  const weights = new Int16Array(buffer, weightsAt, taps * outPx);
  for (let i = 0; i < outPx; i++) {
    const first = paddedAt + 2 * (across.start[i]! + pad);
    const [from, to] = nearTaps(across, i);
    places.set([first, first + 2 * from, first + 2 * to], PLACE * i);
    for (let t = 0; t < across.taps; t++) weights[i * taps + t] = -across.weights[i * across.taps + t]!;
  }

  const pairs = new Int32Array(buffer, pairsAt, (PAIR * down.taps) / 2);
  const pairWeights = new Int16Array(buffer, pairsAt, PAIR * down.taps);
  const near = new Int32Array(buffer, nearAt, down.taps);
  const out = new Uint16Array(buffer, outAt, outPx);
  return {
    padded: new Int16Array(buffer, paddedAt, sourcePx + 2 * pad),
    at: pad,
    across(slot) {
      const to = ringAt + slot * rowBytes;
      filterAcross(placesAt, weightsAt, 2 * taps, to, to + 2 * outPx);
    },
    down(row, slots, tone) {
      for (let t = 0; t < down.taps; t += 2) {
        const at = (PAIR * t) / 2;
        pairs[at] = ringAt + slots[t]! * rowBytes;
        pairs[at + 1] = ringAt + slots[t + 1]! * rowBytes;
        pairWeights[2 * at + 4] = -down.weights[row * down.taps + t]!;
        pairWeights[2 * at + 5] = -down.weights[row * down.taps + t + 1]!;
      }
      const [from, to] = nearTaps(down, row);
      for (let t = from; t < to; t++) near[t - from] = ringAt + slots[t]! * rowBytes;
      filterDown(pairsAt, pairsAt + 2 * PAIR * down.taps, nearAt, nearAt + 4 * (to - from), outAt, rowBytes);
      tone.set(out);
    },
  };
}
