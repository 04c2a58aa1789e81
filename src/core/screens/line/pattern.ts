import { type Narrowest, opened } from '../held.ts';
import type { Repeat } from '../tiled.ts';
import { acrossOf, alongOf, type LineLayout, type Lines, type Turns, turnsApart, turnsIn } from './layout.ts';
import { gridStep, narrowestBand } from './widths.ts';

/** From break to break of a broken line, in periods of the lines. */
const DASH_PERIODS = 4;
/** Lines swing by half a pixel to either side over such a length, and each by this part of a swing later than the last. */
const SWING_PX = 64;
const SWING_LATER = 0.1;
/** Steps into which tone is cut before it is counted out. */
const STEPS = 1 << 20;

interface Places {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** What a wave that fits a tile comes to at the middles of its columns and rows, in turns; the sum of both is its place. */
const placesOf = ({ x, y }: Turns, { widthPx, heightPx }: Repeat): Places => ({
  x: Float64Array.from({ length: widthPx }, (_, i) => (x * (i + 0.5)) / widthPx),
  y: Float64Array.from({ length: heightPx }, (_, i) => (y * (i + 0.5)) / heightPx),
});

/** How far from the middle of the turn, 0 … 1. */
const fromMiddle = (turn: number): number => Math.abs(2 * (turn - Math.floor(turn)) - 1);

/** Steps of two low-discrepancy sequences that fill a square evenly together: 1/g and 1/g² with g³ = g + 1 (M. Roberts 2018, from memory). */
const TURN_BY_LINE = 0.7548776662;
const TURN_BY_DASH = 0.569840291;

/**
 * Turn, 0 … 1, of a dash or break: evenly spread over all of a tile. `place` is that of its middle across the lines,
 * `along` along them, both in turns; the same for the same dash in every tile.
 */
function turnsOf(lines: Turns, dash: Turns): (place: number, along: number) => number {
  // whole turns over the tile's sides, as near as may be to the two steps for each line and each dash
  const x = Math.round(TURN_BY_LINE * lines.x + TURN_BY_DASH * dash.x);
  const y = Math.round(TURN_BY_LINE * lines.y + TURN_BY_DASH * dash.y);
  const all = lines.x * dash.y - lines.y * dash.x;
  const byLine = (x * dash.y - y * dash.x) / all;
  const byDash = (y * lines.x - x * lines.y) / all;
  return (place, along) => {
    const turn = byLine * place + byDash * along + 1e-6;
    return turn - Math.floor(turn);
  };
}

/**
 * Tone, in steps, at which each pixel of the tile turns to ink: by its distance from the middle of its line. A line is
 * never narrower than what holds. Lighter tones break it into dashes: the shortest come one after the other, then all
 * grow from their middles, then the narrowest breaks close one after the other. Gaps in dark tones go the same way.
 * Breaks of neighbouring lines stand half a dash apart.
 */
function turningSteps(lines: Lines, layout: LineLayout, { inkPx, paperPx }: Narrowest): Int32Array {
  const { widthPx, heightPx } = layout;
  const { periodPx, angleDeg } = lines;
  const core = narrowestBand(inkPx, lines) / periodPx;
  const gap = narrowestBand(paperPx, lines) / periodPx;
  const dashPx = DASH_PERIODS * periodPx;
  // a whole pixel more than the narrowest, for where a dash begins between two pixels
  const [leastInk, leastPaper] = [(inkPx + 1) / dashPx, (paperPx + 1) / dashPx];
  const onePx = 2 / dashPx;
  const dash = turnsIn(layout, alongOf(dashPx, angleDeg));
  const turnOf = turnsOf(layout.lines, dash);
  const slow = alongOf(SWING_PX, angleDeg);
  const later = acrossOf(periodPx / SWING_LATER, angleDeg);
  const swing = turnsApart(layout, { x: slow.x + later.x, y: slow.y + later.y });
  const swingBy = gridStep(angleDeg) / periodPx;
  const waveBy = lines.waveHeightPx / 2 / periodPx;

  /** Share of its line, or gap, at which a place along it turns; `middle` is where that runs, in turns across. */
  const shareAt = (
    middle: number,
    along: number,
    every: number,
    least: number,
    leastBreak: number,
  ): number => {
    const shifted = along + every;
    const share = fromMiddle(shifted);
    if (share > 1 - leastBreak) return 1 - leastBreak * turnOf(middle, Math.round(shifted) - every);
    const turn = turnOf(middle, Math.floor(shifted) + 0.5 - every);
    // dashes that all begin on a pixel's edge would all grow at once: one grows up to a pixel before the next
    return share < least ? least * turn : share + (turn - 0.5) * onePx;
  };

  const [linePlaces, swingPlaces, wavePlaces, dashPlaces] = [layout.lines, swing, layout.wave, dash].map(
    (turns) => placesOf(turns, layout),
  ) as [Places, Places, Places, Places];
  const steps = new Int32Array(widthPx * heightPx);
  for (let y = 0, i = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, i++) {
      // over one swing every pixel meets each part of a pixel's width equally often: no line is drawn unlike the next
      const swung = swingBy * (fromMiddle(swingPlaces.x[x]! + swingPlaces.y[y]!) - 0.5);
      const waved = waveBy > 0 ? waveBy * Math.sin(2 * Math.PI * (wavePlaces.x[x]! + wavePlaces.y[y]!)) : 0;
      const place = linePlaces.x[x]! + linePlaces.y[y]! + swung + waved;
      const away = fromMiddle(place);
      const along = dashPlaces.x[x]! + dashPlaces.y[y]!;
      let tone = away;
      if (away < core) {
        const line = Math.floor(place);
        tone = core * shareAt(line + 0.5, along, line / 2, leastInk, leastPaper);
      } else if (away > 1 - gap) {
        const between = Math.round(place);
        tone = 1 - gap * shareAt(between, along, between / 2, leastPaper, leastInk);
      }
      steps[i] = Math.min(STEPS - 1, Math.floor(tone * STEPS));
    }
  return steps;
}

/** Limits of ink tone, 0 … 65534, so that every flat tone covers its share of the tile; what turns together does so half-way. */
function countedOut(steps: Int32Array): Uint16Array {
  const counts = new Uint32Array(STEPS);
  for (let i = 0; i < steps.length; i++) counts[steps[i]!]!++;
  const limits = new Uint16Array(STEPS);
  for (let step = 0, below = 0; step < STEPS; step++) {
    const share = (below + counts[step]! / 2) / steps.length;
    limits[step] = Math.min(65534, Math.floor(share * 65535));
    below += counts[step]!;
  }
  const paperTones = new Uint16Array(steps.length);
  for (let i = 0; i < steps.length; i++) paperTones[i] = limits[steps[i]!]!;
  return paperTones;
}

/** The limits of ink tone of a tile of lines, row by row. */
export function linePattern(lines: Lines, layout: LineLayout, narrowest: Narrowest): Uint16Array {
  const steps = turningSteps(lines, layout, narrowest);
  const lands = opened(steps, layout, 'paper', narrowest.paperPx);
  return countedOut(opened(lands, layout, 'ink', narrowest.inkPx));
}
