import type { Light } from './colour.ts';

/** An ink as it looks printed solid on the paper in hand. */
export interface Ink {
  readonly light: Light;
  /** An opaque ink hides what lies below it; a transparent one filters it. */
  readonly opaque: boolean;
}

/** Colours of all overprints: entry k is printed by the inks whose bits are set in k, the first ink in bit 0. */
export type Primaries = readonly Light[];

/** The colours of all overprints of inks printed in this order: 2ⁿ for n inks, the first being bare paper. */
export function overprints(paper: Light, inks: readonly Ink[]): Primaries {
  let all: Light[] = [paper];
  for (const { light, opaque } of inks) {
    const filter = (under: number, channel: number): number => {
      const clear = paper[channel]!;
      return clear > 0 ? Math.min(1, (under * light[channel]!) / clear) : 0;
    };
    const over = ([red, green, blue]: Light): Light =>
      opaque ? light : [filter(red, 0), filter(green, 1), filter(blue, 2)];
    all = [...all, ...all.map(over)];
  }
  return all;
}

/**
 * Mean light where n inks cover these shares, each placed by chance against the others: every overprint by the area
 * it gets (Demichel 1924, Neugebauer 1937). One ink alone is Murray & Davies 1936: (1 − a) · paper + a · ink. All
 * from memory. `light` takes red, green and blue.
 */
export function neugebauer(shares: readonly number[], primaries: Primaries, light: Float64Array): void {
  light.fill(0);
  for (let k = 0; k < primaries.length; k++) {
    let area = 1;
    for (let i = 0; i < shares.length; i++) area *= (k >> i) & 1 ? shares[i]! : 1 - shares[i]!;
    const colour = primaries[k]!;
    light[0] = light[0]! + area * colour[0];
    light[1] = light[1]! + area * colour[1];
    light[2] = light[2]! + area * colour[2];
  }
}
