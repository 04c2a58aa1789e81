/** Optical density of a reflectance above 0 (ISO 5-4: −log10 of the reflectance factor). */
export const densityOf = (reflectance: number): number => -Math.log10(reflectance);

/** Reflectance of an optical density. */
export const reflectanceOf = (density: number): number => 10 ** -density;

/** Where the cube root of CIE L* gives way to its straight foot: (6/29)³. */
const FOOT = (6 / 29) ** 3;

/** CIE lightness L*, 0 … 100, of a reflectance relative to white (ISO/CIE 11664-4). */
export const lightnessOf = (reflectance: number): number =>
  reflectance > FOOT ? 116 * Math.cbrt(reflectance) - 16 : (24389 / 27) * reflectance;

/**
 * Share of the paper, 0 … 1, that ink of the solid's density would have to cover to look as dark as the tone; both
 * densities above the paper's. `n` is the factor of J. A. C. Yule & W. J. Nielsen (TAGA Proc. 3, 1951, 65–76) for
 * light that spreads in the paper; 1 gives A. Murray's and E. R. Davies's formula (J. Franklin Inst. 221, 1936,
 * 721–744), infinity the ratio of the densities.
 */
export const effectiveCoverage = (tone: number, solid: number, n = 1): number =>
  n === Number.POSITIVE_INFINITY
    ? tone / solid
    : (1 - reflectanceOf(tone / n)) / (1 - reflectanceOf(solid / n));

/** Factor of Yule and Nielsen where nothing better is known (M. Pearson, TAGA Proc. 1981; from memory). */
export const USUAL_N = 1.7;

/** Density above paper of a share covered with ink of a solid's density; the other way round. */
export const densityOfCoverage = (share: number, solid: number, n = 1): number =>
  n * densityOf(1 - share * (1 - reflectanceOf(solid / n)));

/** Tone value increase in percentage points (ISO 12647-1): printed share less the file's, both 0 … 1. */
export const toneValueIncrease = (printed: number, file: number): number => (printed - file) * 100;
