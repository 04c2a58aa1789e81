import { MM_PER_INCH } from '../geometry.ts';

/** Ruling and angle of a screen of dots, as achieved. */
export interface RuledScreen {
  readonly rulingLpi: number;
  readonly angleDeg: number;
}

/** What two screens of dots laid over each other do. */
export interface Beat {
  /** Between the rows of the one and the nearest rows of the other, 0 … 45: rows stand at right angles to rows. */
  readonly angleDeg: number;
  /** Period of the moiré; Infinity where both screens are the same. */
  readonly periodMm: number;
}

/**
 * Moiré of two screens of dots: the period of the difference between a frequency of the one and the nearest of the
 * other, of the rows themselves and no harmonics. For equal rulings 1 ÷ (2 sin(Δ/2)) of their period.
 */
export function beatOf(one: RuledScreen, other: RuledScreen): Beat {
  const turned = (((other.angleDeg - one.angleDeg) % 90) + 90) % 90;
  const degrees = Math.min(turned, 90 - turned);
  const [f, g] = [one.rulingLpi / MM_PER_INCH, other.rulingLpi / MM_PER_INCH];
  // |f − g|² with the cosine rule, in the form that loses nothing where both are nearly the same
  const slip = Math.hypot(f - g, 2 * Math.sqrt(f * g) * Math.sin((degrees * Math.PI) / 360));
  return { angleDeg: degrees, periodMm: slip === 0 ? Number.POSITIVE_INFINITY : 1 / slip };
}
