/**
 * How much of a pattern the eye passes on, by its frequency in cycles to a degree of sight.
 * @typedef {(cyclesPerDegree: number) => number} Eye
 */

/** Frequency at which the curve of Mannos & Sakrison is highest, in cycles to a degree. */
const MANNOS_SAKRISON_PEAK = 7.8909;

/**
 * Contrast sensitivity after J. L. Mannos & D. J. Sakrison, "The effects of a visual fidelity criterion on the encoding of
 * images", IEEE Trans. Inf. Theory IT-20 (1974) 525–536: 2.6 (0.0192 + 0.114 f) exp(−(0.114 f)^1.1).
 * @type {Eye}
 */
export const mannosSakrison = (f) => 2.6 * (0.0192 + 0.114 * f) * Math.exp(-((0.114 * f) ** 1.1));

/**
 * The same, held at its highest value below the frequency of the peak, so that broad errors count in full.
 * @type {Eye}
 */
export const mannosSakrisonLowPass = (f) => mannosSakrison(Math.max(f, MANNOS_SAKRISON_PEAK));

/**
 * Low-pass eye after R. Näsänen, "Visibility of halftone dot textures", IEEE Trans. SMC-14 (1984) 920–924, 1 at f = 0:
 * exp(−f / (0.525 ln L + 3.91)), L = luminance in cd/m².
 * @param {number} luminance
 * @returns {Eye}
 */
export const nasanen = (luminance) => {
  const decay = 0.525 * Math.log(luminance) + 3.91;
  return (f) => Math.exp(-f / decay);
};

/**
 * Pixels to a degree of sight.
 * @param {number} dpi
 * @param {number} distanceMm from the eye to the print
 * @returns {number}
 */
export const pxPerDegree = (dpi, distanceMm) => (2 * distanceMm * Math.tan(Math.PI / 360) * dpi) / 25.4;
