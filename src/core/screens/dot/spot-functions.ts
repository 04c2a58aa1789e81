/** How a dot grows in its cell. */
export interface SpotFunction {
  readonly kind: string;
  /** One line for `list shapes`. */
  readonly summary: string;
  /** Height over the cell, whose sides lie at −1 and 1, y upwards; pixels turn white from the lowest to the highest. */
  at(x: number, y: number): number;
}

const { PI, abs, cos, max, min, sin, sqrt } = Math;

const simple = (x: number, y: number): number => 1 - (x * x + y * y);
const twice = (x: number, y: number): number => (sin(2 * PI * x) + sin(2 * PI * y)) / 2;
const double = (x: number, y: number): number => (sin(PI * x) + sin(2 * PI * y)) / 2;
const ellipseA = (x: number, y: number): number => 1 - (x * x + 0.9 * y * y);
const ellipseC = (x: number, y: number): number => 1 - (0.9 * x * x + y * y);

/** A hole that shrinks to the corner of the cell, as the second half of round dots. */
const hole = (x: number, y: number): number => (1 - abs(x)) ** 2 + (1 - abs(y)) ** 2 - 1;

const round = (x: number, y: number): number => (abs(x) + abs(y) <= 1 ? simple(x, y) : hole(x, y));

function ellipse(x: number, y: number): number {
  const w = 3 * abs(x) + 4 * abs(y) - 3;
  if (w < 0) return 1 - (x * x + (y / 0.75) ** 2) / 4;
  if (w > 1) return ((1 - abs(x)) ** 2 + ((1 - abs(y)) / 0.75) ** 2) / 4 - 1;
  return 0.5 - w;
}

function diamond(x: number, y: number): number {
  const w = abs(x) + abs(y);
  if (w <= 0.75) return simple(x, y);
  return w <= 1.23 ? 1 - (0.85 * abs(x) + abs(y)) : hole(x, y);
}

const spot = (
  kind: string,
  summary: string,
  at: (x: number, y: number) => number,
): { kind: string; summary: string; at: SpotFunction['at'] } => ({ kind, summary, at });

/** The predefined spot functions of ISO 32000-1:2008, 10.5.3, Table 128: its names, its formulas, its order. */
export const spotFunctions = {
  SimpleDot: spot('SimpleDot', 'round dot to the end; dots touch at 79 %', simple),
  InvertedSimpleDot: spot(
    'InvertedSimpleDot',
    'round hole from the start; holes part at 21 %',
    (x, y) => -simple(x, y),
  ),
  DoubleDot: spot('DoubleDot', 'round dots at twice the ruling', twice),
  InvertedDoubleDot: spot('InvertedDoubleDot', 'round holes at twice the ruling', (x, y) => -twice(x, y)),
  CosineDot: spot(
    'CosineDot',
    'round, square at 50 %, where corners touch',
    (x, y) => (cos(PI * x) + cos(PI * y)) / 2,
  ),
  Double: spot('Double', 'long dots at twice the ruling across', double),
  InvertedDouble: spot('InvertedDouble', 'long holes at twice the ruling across', (x, y) => -double(x, y)),
  Line: spot('Line', 'straight line that widens to both sides', (_, y) => -abs(y)),
  LineX: spot('LineX', 'straight line across, widening to one side', (x) => x),
  LineY: spot('LineY', 'straight line along, widening to one side', (_, y) => y),
  Round: spot('Round', 'round dot, round hole, corners touching at 50 %', round),
  Ellipse: spot('Ellipse', 'oval; joins in a chain at 37.5 %, all round at 62.5 %', ellipse),
  EllipseA: spot('EllipseA', 'slightly oval, taller than wide', ellipseA),
  InvertedEllipseA: spot(
    'InvertedEllipseA',
    'slightly oval hole, taller than wide',
    (x, y) => -ellipseA(x, y),
  ),
  EllipseB: spot(
    'EllipseB',
    'oval, taller than wide; joins in a chain at 62 %',
    (x, y) => 1 - sqrt(x * x + (5 / 8) * y * y),
  ),
  EllipseC: spot('EllipseC', 'slightly oval, wider than tall', ellipseC),
  InvertedEllipseC: spot(
    'InvertedEllipseC',
    'slightly oval hole, wider than tall',
    (x, y) => -ellipseC(x, y),
  ),
  Square: spot('Square', 'square, its sides along the screen', (x, y) => -max(abs(x), abs(y))),
  Cross: spot('Cross', 'crossed lines with square holes', (x, y) => -min(abs(x), abs(y))),
  Rhomboid: spot('Rhomboid', 'hole on its corner, slightly drawn out', (x, y) => (0.9 * abs(x) + abs(y)) / 2),
  Diamond: spot('Diamond', 'dot on its corner; joins in a chain at 42.5 %, all round at 57.5 %', diamond),
} as const satisfies Record<string, SpotFunction>;

/** Name of a shape of dot, as job files and `--shape` have it. */
export type Shape = keyof typeof spotFunctions;

/** All of them by name, in the order of the table. */
export const shapeNames = Object.keys(spotFunctions) as [Shape, ...Shape[]];
