const TURN = 2 * Math.PI;
const DEGREE = Math.PI / 180;
const CHROMA_KNEE = 25 ** 7;

/** √(C⁷ ÷ (C⁷ + 25⁷)): nothing for greys, one for strong colours. */
function saturated(chroma: number): number {
  const squared = chroma * chroma;
  const seventh = squared * squared * squared * chroma;
  return Math.sqrt(seventh / (seventh + CHROMA_KNEE));
}

/** Hue 0 … 2π; of a grey 0. */
function hueOf(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const hue = Math.atan2(b, a);
  return hue < 0 ? hue + TURN : hue;
}

const hueWeight = (hue: number): number =>
  1 -
  0.17 * Math.cos(hue - 30 * DEGREE) +
  0.24 * Math.cos(2 * hue) +
  0.32 * Math.cos(3 * hue + 6 * DEGREE) -
  0.2 * Math.cos(4 * hue - 63 * DEGREE);

/** How far the ellipses of blues lean, −1 … 0 times two. */
function lean(hue: number, chroma: number): number {
  const away = (hue / DEGREE - 275) / 25;
  return -2 * saturated(chroma) * Math.sin(60 * DEGREE * Math.exp(-away * away));
}

const lightnessWeight = (lightness: number): number => {
  const squared = (lightness - 50) ** 2;
  return 1 + (0.015 * squared) / Math.sqrt(20 + squared);
};

/**
 * CIEDE2000 squared, all parametric factors 1 (ISO/CIE 11664-6:2014), between L*, a*, b* and another; about 1 is the least
 * difference that is seen side by side. Hues as G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30 (2005) 21–30 mean them.
 */
export function ciede2000Squared(
  l1: number,
  a1: number,
  b1: number,
  l2: number,
  a2: number,
  b2: number,
): number {
  const stretch = 1.5 - 0.5 * saturated((Math.sqrt(a1 * a1 + b1 * b1) + Math.sqrt(a2 * a2 + b2 * b2)) / 2);
  const p1 = a1 * stretch;
  const p2 = a2 * stretch;
  const c1 = Math.sqrt(p1 * p1 + b1 * b1);
  const c2 = Math.sqrt(p2 * p2 + b2 * b2);
  const h1 = hueOf(p1, b1);
  const h2 = hueOf(p2, b2);
  const chroma = (c1 + c2) / 2;

  let turned = 0;
  let hue = h1 + h2;
  if (c1 * c2 !== 0) {
    turned = h2 - h1;
    const far = Math.abs(turned) > Math.PI;
    if (far) turned += turned > 0 ? -TURN : TURN;
    hue = far ? (hue < TURN ? hue + TURN : hue - TURN) / 2 : hue / 2;
  }
  const dl = (l2 - l1) / lightnessWeight((l1 + l2) / 2);
  const dc = (c2 - c1) / (1 + 0.045 * chroma);
  const dh = (2 * Math.sqrt(c1 * c2) * Math.sin(turned / 2)) / (1 + 0.015 * chroma * hueWeight(hue));
  return dl * dl + dc * dc + dh * dh + lean(hue, chroma) * dc * dh;
}

/** CIEDE2000 itself: ΔE00 of two colours, each as L*, a*, b*; never negative. */
export const ciede2000 = (l1: number, a1: number, b1: number, l2: number, a2: number, b2: number): number =>
  Math.sqrt(Math.max(0, ciede2000Squared(l1, a1, b1, l2, a2, b2)));

/**
 * What CIEDE2000 squared comes to for small steps away from a colour: the symmetric 3 × 3 matrix of its quadratic form in
 * steps of L*, a* and b*, row by row into `form`. Steps are so small that all weights are those of the colour itself.
 */
export function ciede2000Form(lightness: number, a: number, b: number, form: Float64Array): void {
  const stretch = 1.5 - 0.5 * saturated(Math.sqrt(a * a + b * b));
  const p = a * stretch;
  const chroma = Math.sqrt(p * p + b * b);
  const hue = hueOf(p, b);
  const forL = 1 / lightnessWeight(lightness);
  const forC = 1 / (1 + 0.045 * chroma);
  const forH = 1 / (1 + 0.015 * chroma * hueWeight(hue));
  const [cos, sin] = [Math.cos(hue), Math.sin(hue)];
  // chroma and hue steps of one step of a* and of one of b*
  const [ca, ha] = [cos * stretch * forC, -sin * stretch * forH];
  const [cb, hb] = [sin * forC, cos * forH];
  const half = lean(hue, chroma) / 2;
  const mixed = ca * cb + ha * hb + half * (ca * hb + ha * cb);
  form.set([forL * forL, 0, 0, 0, ca * ca + ha * ha + 2 * half * ca * ha, mixed]);
  form.set([0, mixed, cb * cb + hb * hb + 2 * half * cb * hb], 6);
}
