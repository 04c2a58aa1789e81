import { type Narrowest, opened } from '../held.ts';
import type { Repeat } from '../tiled.ts';
import { acrossOf, alongOf, type LineLayout, type Lines, type Turns, turnsIn } from './layout.ts';
import { gridStep, narrowestBand } from './widths.ts';

/** From break to break of a broken line, in periods of the lines. */
const DASH_PERIODS = 4;
/** Lines swing by half a pixel to either side over such a length, and each by this part of a swing later than the last. */
const SWING_PX = 64;
const SWING_LATER = 0.1;
/** Steps into which tone is cut before it is counted out. */
const STEPS = 1 << 20;

/** A wave that fits a tile, at pixel centres, as shares of a turn. */
const at = ({ x, y }: Turns, { widthPx, heightPx }: Repeat, px: number, py: number): number =>
  (x * (px + 0.5)) / widthPx + (y * (py + 0.5)) / heightPx;

/** How far from the middle of the turn, 0 … 1. */
const fromMiddle = (turn: number): number => Math.abs(2 * (turn - Math.floor(turn)) - 1);

/** Share of a dash, 0 … 1, at which a place along it turns; what is shorter than `least`, or leaves a shorter break, turns at once. */
const dashShare = (place: number, least: number, leastBreak: number): number => {
  if (place < least) return least / 2;
  return place > 1 - leastBreak ? 1 - leastBreak / 2 : place;
};

/**
 * Tone, in steps, at which each pixel of the tile turns to ink: by its distance from the middle of its line. A line is
 * never narrower than what holds: lighter tones break it into dashes, growing from the middle of each, and so do the
 * gaps in dark tones; breaks of neighbouring lines stand half a dash apart.
 */
function turningSteps(lines: Lines, layout: LineLayout, { inkPx, paperPx }: Narrowest): Int32Array {
  const { widthPx, heightPx } = layout;
  const { periodPx, angleDeg } = lines;
  const core = narrowestBand(inkPx, lines) / periodPx;
  const gap = narrowestBand(paperPx, lines) / periodPx;
  const dashPx = DASH_PERIODS * periodPx;
  // a whole pixel more than the narrowest, for where a dash begins between two pixels
  const [leastDash, leastBreak] = [(inkPx + 1) / dashPx, (paperPx + 1) / dashPx];
  const dash = turnsIn(layout, alongOf(dashPx, angleDeg));
  const slow = alongOf(SWING_PX, angleDeg);
  const later = acrossOf(periodPx / SWING_LATER, angleDeg);
  const swing = turnsIn(layout, { x: slow.x + later.x, y: slow.y + later.y });
  const swingBy = gridStep(angleDeg) / periodPx;
  const waveBy = lines.waveHeightPx / 2 / periodPx;

  const steps = new Int32Array(widthPx * heightPx);
  for (let y = 0, i = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, i++) {
      // over one swing every pixel meets each part of a pixel's width equally often: no line is drawn unlike the next
      const swung = swingBy * (fromMiddle(at(swing, layout, x, y)) - 0.5);
      const waved = waveBy * Math.sin(2 * Math.PI * at(layout.wave, layout, x, y));
      const place = at(layout.lines, layout, x, y) + swung + waved;
      const away = fromMiddle(place);
      const along = at(dash, layout, x, y);
      let tone = away;
      if (away < core) {
        const every = Math.floor(place) / 2;
        tone = core * dashShare(fromMiddle(along + every), leastDash, leastBreak);
      } else if (away > 1 - gap) {
        const every = Math.floor(place + 0.5) / 2;
        tone = 1 - gap * dashShare(fromMiddle(along + every), leastBreak, leastDash);
      }
      steps[i] = Math.min(STEPS - 1, Math.floor(tone * STEPS));
    }
  return steps;
}

/** Limits of ink tone, 0 … 65534, so that every flat tone covers its share of the tile; what turns together does so half-way. */
function countedOut(steps: Int32Array): Uint16Array {
  const counts = new Uint32Array(STEPS);
  for (const step of steps) counts[step]!++;
  const limits = new Uint16Array(STEPS);
  for (let step = 0, below = 0; step < STEPS; step++) {
    const share = (below + counts[step]! / 2) / steps.length;
    limits[step] = Math.min(65534, Math.floor(share * 65535));
    below += counts[step]!;
  }
  return Uint16Array.from(steps, (step) => limits[step]!);
}

/** The limits of ink tone of a tile of lines, row by row. */
export function linePattern(lines: Lines, layout: LineLayout, narrowest: Narrowest): Uint16Array {
  const steps = turningSteps(lines, layout, narrowest);
  const lands = opened(steps, layout, 'paper', narrowest.paperPx);
  return countedOut(opened(lands, layout, 'ink', narrowest.inkPx));
}
