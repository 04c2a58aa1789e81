import type { Beam } from '../spot/regions.ts';
import type { Direction } from '../testplate/bar-lines.ts';

/** Discs along the way of one firing while the beam stays on. */
const SWEPT = 9;

/** Places along an edge at which it is looked at. */
const PLACES = 64;

/** How bars of a direction are made of firings, in pixels. */
interface Lines {
  /** From one line of firings to the next, square to the bar. */
  readonly apartPx: number;
  /** From one firing to the next along a line. */
  readonly everyPx: number;
  /** How far the next line's firings stand off along it. */
  readonly shiftPx: number;
  /** Way of a beam that stays on over a pixel in x: along the bar and square to it. */
  readonly sweep: readonly [along: number, across: number];
}

const LINES: Readonly<Record<Direction, Lines>> = {
  x: { apartPx: 1, everyPx: 1, shiftPx: 0, sweep: [1, 0] },
  y: { apartPx: 1, everyPx: 1, shiftPx: 0, sweep: [0, 1] },
  diagonal: {
    apartPx: Math.SQRT1_2,
    everyPx: Math.SQRT2,
    shiftPx: Math.SQRT1_2,
    sweep: [Math.SQRT1_2, Math.SQRT1_2],
  },
};

/** From one line of firings of a bar to the next, in pixels. */
export const apartPx = (direction: Direction): number => LINES[direction].apartPx;

/**
 * How far the edge of an etched area lies beyond the middles of its outermost firings, in pixels, on average: round
 * marks leave it scalloped, so less than their radius.
 */
export function edgeReachPx(spotPx: number, direction: Direction, beam: Beam): number {
  const { apartPx: apart, everyPx, shiftPx, sweep } = LINES[direction];
  const steps = beam === 'sweep' ? SWEPT : 1;
  const radius = spotPx / 2;
  let sum = 0;
  for (let place = 0; place < PLACES; place++) {
    const t = ((place + 0.5) / PLACES) * everyPx;
    let most = -radius;
    for (let line = 0; line < 2; line++)
      for (let firing = -2; firing <= 3; firing++)
        for (let step = 0; step < steps; step++) {
          const swept = steps === 1 ? 0 : step / (steps - 1) - 0.5;
          const off = t - firing * everyPx - line * shiftPx - swept * sweep[0];
          const square = radius * radius - off * off;
          if (square >= 0) most = Math.max(most, Math.sqrt(square) - line * apart + swept * sweep[1]);
        }
    sum += most;
  }
  return sum / PLACES;
}

/** Widest mark looked for, in pixels. */
const MOST_SPOT_PX = 16;

/** The mark of one firing, in pixels, whose edges reach so far; 0 where none is so small. */
export function spotOfReachPx(reachPx: number, direction: Direction, beam: Beam): number {
  let [low, high] = [0, MOST_SPOT_PX];
  while (high - low > 1e-4) {
    const middle = (low + high) / 2;
    if (edgeReachPx(middle, direction, beam) < reachPx) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
