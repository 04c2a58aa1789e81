/** How source codes become ink tone; shares are 0…1. */
export interface ToneSettings {
  readonly source: 'positive' | 'negative';
  /** Lightness at and above which the paper stays bare. */
  readonly whitepoint: number;
  /** Lightness at and below which the ink is full. */
  readonly blackpoint: number;
  /** Above 1 lightens the middle tones, below 1 darkens them. */
  readonly gamma: number;
  /** Darkest tone allowed. */
  readonly cap: number;
  /** Lightest tone allowed, bare paper apart. */
  readonly floor: number;
}

/** Solid ink, as tone rows have it; 0 is bare paper. */
export const FULL_TONE = 65535;

/** What the codes of a grey source mean: how many bits they have, and which stand for full ink and bare paper. */
export interface SourceCodes {
  readonly depthBits: 8 | 16;
  readonly blackCode: number;
  readonly whiteCode: number;
}

/**
 * Table from source code (8 or 16 bit) to ink tone 0…65535, in this order: source polarity, white and black
 * point, gamma, floor and cap. Bare paper stays exactly 0, whatever the floor; full black at cap c is c exactly.
 * Source code 128 of 255 asks for 1 − 128/255 = 49.8 % tone.
 */
export function toneTable(codes: SourceCodes, settings: ToneSettings): Float32Array {
  const { source, whitepoint, blackpoint, gamma, cap, floor } = settings;
  const { depthBits, blackCode, whiteCode } = codes;
  const table = new Float32Array(2 ** depthBits);
  for (let code = 0; code < table.length; code++) {
    const share = Math.min(1, Math.max(0, (code - blackCode) / (whiteCode - blackCode)));
    const lightness = source === 'positive' ? share : 1 - share;
    const spread = Math.min(1, Math.max(0, (lightness - blackpoint) / (whitepoint - blackpoint)));
    const tone = 1 - spread ** (1 / gamma);
    table[code] = tone === 0 ? 0 : Math.round((floor + (cap - floor) * tone) * FULL_TONE);
  }
  return table;
}
