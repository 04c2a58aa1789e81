import type { ToneSource } from '../resample/index.ts';

/** A box as long as `lengthPx`, centred on a pixel: whole pixels `reach` to either side, and of the next `edge`/256. */
interface Box {
  readonly reach: number;
  readonly edge: number;
  /** One over the sum of the weights, in 256ths. */
  readonly share: number;
}

const ONE = 256;

function boxOf(lengthPx: number): Box {
  const reach = Math.max(0, Math.floor((lengthPx - 1) / 2));
  const edge = Math.round((Math.max(0, lengthPx - 1 - 2 * reach) / 2) * ONE);
  return { reach, edge, share: 1 / (ONE * (2 * reach + 1) + 2 * edge) };
}

/** Pixel i of an axis that is mirrored at its ends, edge pixels twice: a filter then keeps the mean of the whole. */
function mirrored(i: number, length: number): number {
  const period = 2 * length;
  const k = ((i % period) + period) % period;
  return k < length ? k : period - 1 - k;
}

/** The mean of each row's tones under a box. Sums are whole numbers, so flat tones stay exactly what they are. */
export function boxAcross(source: ToneSource, lengthPx: number): ToneSource {
  const { widthPx, heightPx } = source;
  const { reach, edge, share } = boxOf(lengthPx);
  const pad = reach + 1;
  const row = new Int16Array(widthPx + 2 * pad);
  const outside = Array.from({ length: pad }, (_, i) => [
    mirrored(i - pad, widthPx),
    mirrored(widthPx + i, widthPx),
  ]) as [number, number][];
  return {
    widthPx,
    heightPx,
    readRow(y, into, at) {
      source.readRow(y, row, pad);
      for (let i = 0; i < pad; i++) {
        row[i] = row[pad + outside[i]![0]]!;
        row[pad + widthPx + i] = row[pad + outside[i]![1]]!;
      }
      let sum = 0;
      for (let i = 1; i < 2 * reach + 2; i++) sum += row[i]!;
      for (let x = 0; x < widthPx; x++) {
        const [before, after] = [row[x]!, row[x + 2 * reach + 2]!];
        into[at + x] = Math.round((sum * ONE + (before + after) * edge) * share);
        sum += after - row[x + 1]!;
      }
    },
  };
}

/** The same along columns. Rows in order are cheap; any other row costs as many source rows as the box is long. */
export function boxDown(source: ToneSource, lengthPx: number): ToneSource {
  const { widthPx, heightPx } = source;
  const { reach, edge, share } = boxOf(lengthPx);
  const slots = 2 * reach + 4;
  const ring = Array.from({ length: slots }, () => new Int16Array(widthPx));
  const held = new Int32Array(slots).fill(-1);
  const sum = new Int32Array(widthPx);
  let centre = -1;

  const rowAt = (wanted: number): Int16Array => {
    const y = mirrored(wanted, heightPx);
    const slot = y % slots;
    const row = ring[slot]!;
    if (held[slot] !== y) {
      source.readRow(y, row, 0);
      held[slot] = y;
    }
    return row;
  };
  const add = (row: Int16Array, sign: 1 | -1): void => {
    for (let x = 0; x < widthPx; x++) sum[x] = sum[x]! + sign * row[x]!;
  };

  return {
    widthPx,
    heightPx,
    readRow(y, into, at) {
      if (y === centre + 1 && centre >= 0) {
        add(rowAt(centre - reach), -1);
        add(rowAt(y + reach), 1);
      } else if (y !== centre) {
        sum.fill(0);
        // in rising order, so that boxes before this one need not start anew
        const last = Math.min(heightPx - 1, y + reach + 1);
        for (let row = Math.max(0, y - reach - 1); row <= last; row++) rowAt(row);
        for (let k = -reach; k <= reach; k++) add(rowAt(y + k), 1);
      }
      centre = y;
      const before = rowAt(y - reach - 1);
      const after = rowAt(y + reach + 1);
      for (let x = 0; x < widthPx; x++)
        into[at + x] = Math.round((sum[x]! * ONE + (before[x]! + after[x]!) * edge) * share);
    },
  };
}
