import { rowStream } from '../rng.ts';

/** Standard deviation of the Gaussian that tells how crowded a place is; the paper's 1.5 px (from memory). */
const SIGMA_PX = 1.5;

/** The Gaussian is 0.004 there, and nothing is summed beyond. */
const REACH_PX = 5;

/** Share of the tile that is on in the first pattern, scattered and then evened out. */
const FIRST_SHARE = 0.1;

/** Squares of 16 px remember their own most and least crowded pixel; wider than the reach, so a change touches four. */
const BLOCK_BITS = 4;

/** A tile with some pixels on. */
interface Ground {
  readonly on: Uint8Array;
  /** How crowded with ones each pixel is. */
  readonly crowd: Float64Array;
  set(pixel: number, value: 0 | 1): void;
  /** The most crowded pixel that is on. */
  tightest(): number;
  /** The least crowded pixel that is off. */
  emptiest(): number;
}

function openGround(side: number, on: Uint8Array, crowd: Float64Array): Ground {
  const mask = side - 1;
  const width = 2 * REACH_PX + 1;
  const gauss = Float64Array.from({ length: width * width }, (_, i) => {
    const dx = (i % width) - REACH_PX;
    const dy = Math.floor(i / width) - REACH_PX;
    return Math.exp(-(dx * dx + dy * dy) / (2 * SIGMA_PX * SIGMA_PX));
  });
  const across = side >> BLOCK_BITS;
  const most = new Int32Array(across * across);
  const least = new Int32Array(across * across);
  const stale = new Uint8Array(across * across).fill(1);

  const look = (block: number): void => {
    const left = (block % across) << BLOCK_BITS;
    const top = Math.floor(block / across) << BLOCK_BITS;
    let high = -1;
    let low = -1;
    for (let y = top; y < top + (1 << BLOCK_BITS); y++)
      for (let i = y * side + left; i < y * side + left + (1 << BLOCK_BITS); i++)
        if (on[i]) {
          if (high < 0 || crowd[i]! > crowd[high]!) high = i;
        } else if (low < 0 || crowd[i]! < crowd[low]!) low = i;
    most[block] = high;
    least[block] = low;
    stale[block] = 0;
  };
  const best = (ofBlocks: Int32Array, sign: 1 | -1): number => {
    for (let block = 0; block < stale.length; block++) if (stale[block]) look(block);
    let found = -1;
    for (const i of ofBlocks) if (i >= 0 && (found < 0 || sign * crowd[i]! > sign * crowd[found]!)) found = i;
    return found;
  };

  return {
    on,
    crowd,
    set(pixel, value) {
      on[pixel] = value;
      const x = pixel & mask;
      const y = Math.floor(pixel / side);
      const sign = value ? 1 : -1;
      for (let j = 0; j < width; j++) {
        const row = ((y + j - REACH_PX) & mask) * side;
        for (let i = 0; i < width; i++) {
          const at = row + ((x + i - REACH_PX) & mask);
          crowd[at] = crowd[at]! + sign * gauss[j * width + i]!;
        }
      }
      for (const dy of [-REACH_PX, REACH_PX])
        for (const dx of [-REACH_PX, REACH_PX])
          stale[(((y + dy) & mask) >> BLOCK_BITS) * across + (((x + dx) & mask) >> BLOCK_BITS)] = 1;
    },
    tightest: () => best(most, 1),
    emptiest: () => best(least, -1),
  };
}

/** A tenth of the pixels on, scattered, then moved from the tightest cluster to the emptiest void until that changes nothing. */
function firstPattern(side: number, seed: number, plate: number): Ground {
  const n = side * side;
  const random = rowStream(seed, plate, 0);
  const tossed = (): number => random() / 2 ** 32;
  // far less than any step of the crowd, so that among equal places chance decides and not the order of reading
  const crowd = Float64Array.from({ length: n }, () => tossed() * 1e-6);
  const ground = openGround(side, new Uint8Array(n), crowd);
  for (let count = 0; count < Math.floor(FIRST_SHARE * n); ) {
    const pixel = Math.floor(tossed() * n);
    if (ground.on[pixel]) continue;
    ground.set(pixel, 1);
    count++;
  }
  for (let moves = 0; moves < n; moves++) {
    const from = ground.tightest();
    ground.set(from, 0);
    const to = ground.emptiest();
    ground.set(to, 1);
    if (to === from) break;
  }
  return ground;
}

/**
 * Void and cluster: the place 0 … side² − 1 at which each pixel of a tile is marked, so that at every tone marks and gaps
 * lie evenly without falling into rows. From an even first pattern ones are taken away, tightest first, for the low places,
 * and put into the emptiest voids for the high ones. R. Ulichney, Proc. SPIE 1913 (1993) 332–343 (from memory); its third
 * step, the tightest gap once gaps are fewer, is the second: crowds of ones and of gaps add up to a constant.
 * `side` is a power of two, at least 16.
 */
export function voidAndCluster(side: number, seed: number, plate: number): Uint32Array {
  const first = firstPattern(side, seed, plate);
  const places = new Uint32Array(side * side);
  const ones = first.on.reduce((sum, one) => sum + one, 0);
  const thinning = openGround(side, first.on.slice(), first.crowd.slice());
  for (let place = ones - 1; place >= 0; place--) {
    const pixel = thinning.tightest();
    thinning.set(pixel, 0);
    places[pixel] = place;
  }
  for (let place = ones; place < places.length; place++) {
    const pixel = first.emptiest();
    first.set(pixel, 1);
    places[pixel] = place;
  }
  return places;
}
