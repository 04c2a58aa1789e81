/** A beam before its lens. */
export interface LensBeam {
  readonly wavelengthUm: number;
  readonly focalMm: number;
  /** Diameter of the beam at the lens, by second moments (ISO 11146-1, from memory). */
  readonly beamMm: number;
  /** Beam quality M²; 1 is the best there is. */
  readonly m2: number;
}

/** A focus: the narrowest diameter of the beam, and how far from it the beam is √2 as wide (Rayleigh length). */
export interface Focus {
  readonly spotMm: number;
  readonly rayleighMm: number;
}

const MM_PER_UM = 1e-3;

/**
 * Rayleigh length of a waist of diameter `spotMm`: π w₀² / (M² λ). Gaussian beam after A. E. Siegman, Lasers
 * (1986), ch. 17 (from memory).
 */
export const rayleighMm = (
  spotMm: number,
  { wavelengthUm, m2 }: Pick<LensBeam, 'wavelengthUm' | 'm2'>,
): number => (Math.PI * (spotMm / 2) ** 2) / (m2 * wavelengthUm * MM_PER_UM);

/** The focus behind a lens: 2 w₀ = 4 M² λ f / (π D). Spot grows with the focal length, depth with its square. */
export function focusOf(beam: LensBeam): Focus {
  const spotMm = (4 * beam.m2 * beam.wavelengthUm * MM_PER_UM * beam.focalMm) / (Math.PI * beam.beamMm);
  return { spotMm, rayleighMm: rayleighMm(spotMm, beam) };
}

/** How many times wider the spot is `offMm` out of focus, 1 or more: √(1 + (z / z_R)²), Siegman as above. */
export const spotGrowth = (offMm: number, rayleighMm: number): number => Math.hypot(1, offMm / rayleighMm);

/** How far out of focus, to either side, the spot stays within `growth` times its size, 1 or more (1.2 = a fifth bigger); NaN below 1. */
export const focusDepthMm = (growth: number, rayleighMm: number): number =>
  rayleighMm * Math.sqrt(growth * growth - 1);

/** Worst growth of the spot on a sheet that bows by `bowMm`: focused halfway up the bow, or at its edge. */
export const bowGrowth = (bowMm: number, rayleighMm: number, focusedAt: 'half' | 'edge'): number =>
  spotGrowth(focusedAt === 'half' ? bowMm / 2 : bowMm, rayleighMm);

/** Height of the bow of a sheet `chordMm` long, bent to a radius of half its length or more: s = R − √(R² − c² / 4). NaN for a smaller radius. */
export const sagittaMm = (chordMm: number, radiusMm: number): number =>
  radiusMm - Math.sqrt(radiusMm * radiusMm - (chordMm * chordMm) / 4);

/** Radius of a sheet `chordMm` long that bows by `bowMm`: R = c² / 8s + s / 2. Infinity for a flat one. */
export const bowRadiusMm = (chordMm: number, bowMm: number): number =>
  (chordMm * chordMm) / (8 * bowMm) + bowMm / 2;
