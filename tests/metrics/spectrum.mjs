import { openFft2d } from '../../dist/core/fft.js';

/**
 * Periodogram of one or several windows of a map: side² numbers, |transform of (map − its mean)|² / side², averaged.
 * White noise of variance σ² gives σ² everywhere; the sum over all frequencies, divided by side², is the variance.
 * @typedef {{ side: number, windows: number, power: Float64Array, variance: number }} Spectrum
 */

/** Signed frequency of index `i`, in cycles to `side` pixels. */
const signed = (i, side) => (i < side / 2 ? i : i - side);

/**
 * Distance from frequency 0 of every place of a transform, in cycles a pixel.
 * @param {number} side
 * @returns {Float64Array}
 */
export function frequencies(side) {
  const cycles = new Float64Array(side * side);
  for (let y = 0, at = 0; y < side; y++)
    for (let x = 0; x < side; x++, at++) cycles[at] = Math.hypot(signed(x, side), signed(y, side)) / side;
  return cycles;
}

/**
 * Cuts a map into windows of side² pixels, side a power of two, from the top left; what is left over is not looked at.
 * @param {Float32Array | Float64Array} map
 * @param {number} widthPx
 * @param {number} side
 * @returns {Spectrum}
 */
export function powerSpectrum(map, widthPx, side) {
  const fft = openFft2d(side);
  const heightPx = map.length / widthPx;
  const power = new Float64Array(side * side);
  const re = new Float64Array(side * side);
  const im = new Float64Array(side * side);
  let windows = 0;
  for (let top = 0; top + side <= heightPx; top += side)
    for (let left = 0; left + side <= widthPx; left += side, windows++) {
      let sum = 0;
      for (let y = 0, at = 0; y < side; y++)
        for (let x = 0; x < side; x++, at++) {
          re[at] = map[(top + y) * widthPx + left + x];
          sum += re[at];
        }
      for (let i = 0; i < re.length; i++) re[i] -= sum / re.length;
      im.fill(0);
      fft(re, im);
      for (let i = 0; i < re.length; i++) power[i] += (re[i] * re[i] + im[i] * im[i]) / re.length;
    }
  let total = 0;
  for (let i = 0; i < power.length; i++) {
    power[i] /= windows;
    total += power[i];
  }
  return { side, windows, power, variance: total / power.length };
}

/**
 * Radially averaged power and anisotropy after R. A. Ulichney, "Digital Halftoning", MIT Press 1987: over annuli one
 * frequency step wide, the mean of the power divided by the variance, and the sample variance divided by the squared mean, in
 * dB. Noise without a direction has an anisotropy of −10 log10(windows).
 * @param {Spectrum} spectrum
 * @returns {{ cyclesPerPx: number, power: number, anisotropyDb: number }[]} rising, from the first annulus after 0 to the corner
 */
export function radialSpectrum({ side, power, variance }) {
  const cycles = frequencies(side);
  const rings = Math.floor(side / Math.SQRT2);
  const count = new Float64Array(rings + 1);
  const sum = new Float64Array(rings + 1);
  const squares = new Float64Array(rings + 1);
  const ringOf = (i) => Math.round(cycles[i] * side);
  for (let i = 1; i < power.length; i++) {
    const ring = ringOf(i);
    if (ring > rings) continue;
    count[ring]++;
    sum[ring] += power[i];
  }
  for (let i = 1; i < power.length; i++) {
    const ring = ringOf(i);
    if (ring <= rings) squares[ring] += (power[i] - sum[ring] / count[ring]) ** 2;
  }
  const radial = [];
  for (let ring = 1; ring <= rings; ring++) {
    // the corner alone has no spread
    if (count[ring] < 2) continue;
    const mean = sum[ring] / count[ring];
    const spread = squares[ring] / (count[ring] - 1);
    radial.push({
      cyclesPerPx: ring / side,
      power: mean / variance,
      anisotropyDb: 10 * Math.log10(spread / (mean * mean)),
    });
  }
  return radial;
}

/** Coarser than one and finer than three pixels, directions are not judged: too few frequencies there, or too fine to see. */
const SECTOR_BAND = { from: 0.01, to: 0.35 };
const SECTORS = 12;

/**
 * Mean power of the strongest sector of 15° over that of all: 1 where no direction stands out.
 * @param {Spectrum} spectrum
 * @returns {number}
 */
export function strongestSector({ side, power }) {
  const cycles = frequencies(side);
  const sum = new Float64Array(SECTORS);
  const count = new Float64Array(SECTORS);
  for (let i = 1; i < power.length; i++) {
    if (cycles[i] < SECTOR_BAND.from || cycles[i] > SECTOR_BAND.to) continue;
    const angle = Math.atan2(signed(Math.floor(i / side), side), signed(i % side, side));
    // sectors are centred on the axes; opposite directions are one
    const sector = Math.floor((angle / Math.PI) * SECTORS + SECTORS + 0.5) % SECTORS;
    sum[sector] += power[i];
    count[sector]++;
  }
  const means = sum.map((total, sector) => total / count[sector]);
  return Math.max(...means) / (means.reduce((a, b) => a + b) / SECTORS);
}

/**
 * Standard deviation of what the eye still sees of a pattern, in the map's own unit.
 * @param {Spectrum} spectrum
 * @param {import('./eye.mjs').Eye} eye
 * @param {number} perDegree pixels to a degree
 * @returns {number}
 */
export function visibleNoise({ side, power }, eye, perDegree) {
  const cycles = frequencies(side);
  let sum = 0;
  for (let i = 1; i < power.length; i++) sum += power[i] * eye(cycles[i] * perDegree) ** 2;
  return Math.sqrt(sum / power.length);
}
