import { openFft2d } from '../../dist/core/fft.js';
import { frequencies } from './spectrum.mjs';

/**
 * Signal to noise in dB of a print seen by the eye: 10 log10(1 / mean of the squared error after the eye), tones 0 … 1
 * (HPSNR as commonly defined for halftones). The square is taken to go on periodically.
 * @param {Float32Array} wanted side² tones, side a power of two
 * @param {Float32Array} printed
 * @param {import('./eye.mjs').Eye} eye
 * @param {number} perDegree pixels to a degree
 * @returns {number}
 */
export function hpsnr(wanted, printed, eye, perDegree) {
  const side = Math.sqrt(wanted.length);
  const re = Float64Array.from(wanted, (tone, i) => tone - printed[i]);
  const im = new Float64Array(re.length);
  openFft2d(side)(re, im);
  const cycles = frequencies(side);
  let sum = 0;
  for (let i = 0; i < re.length; i++)
    sum += (re[i] * re[i] + im[i] * im[i]) * eye(cycles[i] * perDegree) ** 2;
  return -10 * Math.log10(sum / re.length / re.length);
}

/** Gaussian weights out to three standard deviations; they add up to 1. */
function gaussian(sigmaPx) {
  const reach = Math.ceil(3 * sigmaPx);
  const raw = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigmaPx ** 2)),
  );
  const sum = raw.reduce((a, b) => a + b);
  return raw.map((weight) => weight / sum);
}

/** Blurs a map; its edges go on as they end. */
function blurred(map, widthPx, sigmaPx) {
  const weights = gaussian(sigmaPx);
  const reach = (weights.length - 1) / 2;
  const heightPx = map.length / widthPx;
  const inside = (i, end) => Math.min(end - 1, Math.max(0, i));
  const across = new Float32Array(map.length);
  for (let y = 0; y < heightPx; y++) {
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++) {
      let sum = 0;
      for (let k = -reach; k <= reach; k++) sum += weights[k + reach] * map[row + inside(x + k, widthPx)];
      across[row + x] = sum;
    }
  }
  const down = new Float32Array(map.length);
  for (let y = 0; y < heightPx; y++)
    for (let k = -reach; k <= reach; k++) {
      const from = inside(y + k, heightPx) * widthPx;
      const to = y * widthPx;
      for (let x = 0; x < widthPx; x++) down[to + x] += weights[k + reach] * across[from + x];
    }
  return down;
}

const BLUR_PX = 2;
/** Squared difference of the neighbours on both sides from which on a place counts as an edge. */
const STRONG = 4e-4;

/**
 * How well edges are kept: correlation of the gradients of both maps, each blurred by two pixels, where the wanted one is
 * strong. 1 = the same edges, 0 = none of them.
 * @param {Float32Array} wanted tones 0 … 1
 * @param {Float32Array} printed
 * @param {number} widthPx
 * @returns {number} NaN where the wanted map has no edge
 */
export function edgeFigure(wanted, printed, widthPx) {
  const want = blurred(wanted, widthPx, BLUR_PX);
  const got = blurred(printed, widthPx, BLUR_PX);
  let both = 0;
  let wants = 0;
  let gots = 0;
  const heightPx = wanted.length / widthPx;
  for (let y = 1; y < heightPx - 1; y++)
    for (let i = y * widthPx + 1; i < (y + 1) * widthPx - 1; i++) {
      const wx = want[i + 1] - want[i - 1];
      const wy = want[i + widthPx] - want[i - widthPx];
      const square = wx * wx + wy * wy;
      if (square < STRONG) continue;
      const gx = got[i + 1] - got[i - 1];
      const gy = got[i + widthPx] - got[i - widthPx];
      both += wx * gx + wy * gy;
      wants += square;
      gots += gx * gx + gy * gy;
    }
  return both / Math.sqrt(wants * gots);
}
