import { readFileSync } from 'node:fs';

interface Joins {
  readonly x?: number;
  readonly y?: number;
}

/** Published values and counts of programs of their own; sources in the file. */
export const clusteredDots = JSON.parse(
  readFileSync(new URL('../../../fixtures/oracles/clustered-dots.json', import.meta.url), 'utf8'),
) as {
  points: (readonly [number, number])[];
  values: Record<string, number[]>;
  joins: { numeric240: Record<string, Joins>; closedForm: Record<string, Joins> };
  nearestCells: {
    dpi: number;
    want_lpi: number;
    want_angle: number;
    a: number;
    b: number;
    lpi: number;
    angle: number;
  }[];
  moire: { angleDeg: number; periods: number }[];
};
