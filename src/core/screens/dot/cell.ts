import type { Repeat } from '../tiled.ts';

/**
 * A screen cell on the pixel grid: a square whose one side runs a pixels right and b up, so that pixels fall on the
 * same places in every cell. T. M. Holladay, "An optimum algorithm for halftone generation for displays and hard
 * copies", Proc. SID 21(2) 1980, 185–192.
 */
export interface Cell {
  readonly a: number;
  readonly b: number;
  /** a² + b², the pixels of a cell; it draws one tone more. */
  readonly pixels: number;
}

/**
 * The cell whose side ends nearest to where the asked one ends: a step too far along the side and one across it weigh
 * the same, so one per cent of ruling is worth 0.57° of angle. `periodPx` at least 1, angle counter-clockwise.
 */
export function cellNearest(periodPx: number, angleDeg: number): Cell {
  const angle = (angleDeg * Math.PI) / 180;
  // + 0 turns −0 into 0
  const a = Math.round(periodPx * Math.cos(angle)) + 0;
  const b = Math.round(periodPx * Math.sin(angle)) + 0;
  return { a, b, pixels: a * a + b * b };
}

/** Counter-clockwise from the level, 0 … 180. */
export const angleOf = ({ a, b }: Cell): number => (Math.atan2(b, a) * 180) / Math.PI;

/** Greatest common divisor g of two whole numbers, with p and q such that a·p + b·q = g; g > 0 unless both are 0. */
function bezout(a: number, b: number): { g: number; p: number; q: number } {
  let [g, next, p, pNext, q, qNext] = [a, b, 1, 0, 0, 1];
  while (next !== 0) {
    const times = Math.trunc(g / next);
    [g, next] = [next, g - times * next];
    [p, pNext] = [pNext, p - times * pNext];
    [q, qNext] = [qNext, q - times * qNext];
  }
  return g < 0 ? { g: -g, p: -p, q: -q } : { g, p, q };
}

/** The brick that covers the plate as the cell does: gcd(a, b) pixels high and N ÷ gcd(a, b) long, each row of bricks moved. */
export function brickOf({ a, b, pixels }: Cell): Repeat {
  // sides of the cell in rows counted downwards: (a, −b) and (b, a); some sum of them goes g rows down
  const { g, p, q } = bezout(a, b);
  const widthPx = pixels / g;
  const across = p * b - q * a;
  return { widthPx, heightPx: g, shiftPx: ((-across % widthPx) + widthPx) % widthPx };
}

/** Where the centre of pixel (x, y), y downwards, lies in its cell: N times its spot function coordinates, −N … N − 1. */
export function placeInCell({ a, b, pixels }: Cell, x: number, y: number): { u: number; v: number } {
  const [right, up] = [2 * x + 1, -(2 * y + 1)];
  const wrap = (value: number): number => {
    const rest = value % (2 * pixels);
    return (rest < 0 ? rest + 2 * pixels : rest) - pixels;
  };
  return { u: wrap(a * right + b * up), v: wrap(a * up - b * right) };
}
