import type { Repeat } from '../tiled.ts';

/** Lines as asked for, in pixels of the plate. */
export interface Lines {
  readonly periodPx: number;
  /** Counter-clockwise from the level, y upwards. */
  readonly angleDeg: number;
  /** Of the slow wave the lines follow; 0 where they are straight. */
  readonly waveLengthPx: number;
  /** From trough to crest. */
  readonly waveHeightPx: number;
}

/** Whole turns over a tile's width and its height: a wave that fits the tile. */
export interface Turns {
  readonly x: number;
  readonly y: number;
}

/** A tile that lines and everything along them fit, so that it may be laid side by side. */
export interface LineLayout extends Repeat {
  /** Of the lines, even both, so that every second line may differ from the next. */
  readonly lines: Turns;
  readonly wave: Turns;
}

/** Sides that tiles begin with. They have no divisor in common, so that lines along one side do not all meet the same parts of a pixel. */
const LEAST_WIDTH_PX = 397;
const LEAST_HEIGHT_PX = 384;
/** Sizes tried at most: lines within about a third of a degree of level or upright are taken to be so. */
const MOST_TRIED = 2048;
/** Missed by so small a part of a period is near enough, of the lines and of the wave. */
const NEAR_LINES = 5e-4;
const NEAR_WAVE = 0.01;
/** How much worse it is to miss the lines by a part of their period than the wave by the same part of its. */
const LINES_WEIGH = 20;

/** Cycles to a pixel, x to the right and y downwards, of lines that lie one after the other across their direction. */
export function acrossOf(periodPx: number, angleDeg: number): Turns {
  const angle = (angleDeg * Math.PI) / 180;
  return { x: Math.sin(angle) / periodPx, y: Math.cos(angle) / periodPx };
}

/** As `acrossOf`, for what comes again along the lines. */
export function alongOf(periodPx: number, angleDeg: number): Turns {
  const { x, y } = acrossOf(periodPx, angleDeg);
  return { x: y, y: -x };
}

/** Whole turns nearest to a frequency in a tile. */
export const turnsIn = ({ widthPx, heightPx }: Repeat, { x, y }: Turns): Turns => ({
  x: Math.round(x * widthPx) + 0,
  y: Math.round(y * heightPx) + 0,
});

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));

/** As `turnsIn`, but so many that no two pixels along a side of the tile stand at the same part of a turn. */
export function turnsApart(repeat: Repeat, frequency: Turns): Turns {
  const apart = (turns: number, px: number): number => {
    const by = turns < 0 ? -1 : 1;
    let more = turns;
    while (more !== 0 && divisor(Math.abs(more), px) > 1) more += by;
    return more;
  };
  const { x, y } = turnsIn(repeat, frequency);
  return { x: apart(x, repeat.widthPx), y: apart(y, repeat.heightPx) };
}

const evenTurns = (perPx: number, px: number): number => 2 * Math.round((perPx * px) / 2) + 0;

/** The first side from `leastPx` on that even turns of the lines and whole turns of the wave fit near enough, or the best of all. */
function sideFor(line: number, linePx: number, wave: number, wavePx: number, leastPx: number): number {
  let [best, side] = [Number.POSITIVE_INFINITY, leastPx];
  for (let px = leastPx; px < leastPx + MOST_TRIED; px++) {
    const missedLine = Math.abs(evenTurns(line, px) / px - line) * linePx;
    const missedWave = Math.abs(Math.round(wave * px) / px - wave) * wavePx;
    if (missedLine < NEAR_LINES && missedWave < NEAR_WAVE) return px;
    const missed = LINES_WEIGH * missedLine + missedWave;
    if (missed < best) [best, side] = [missed, px];
  }
  return side;
}

/** The smallest tile that lines and wave fit near enough; where there is none, the one they fit best. */
export function layoutFor({ periodPx, angleDeg, waveLengthPx }: Lines): LineLayout {
  const line = acrossOf(periodPx, angleDeg);
  const wave = waveLengthPx > 0 ? alongOf(waveLengthPx, angleDeg) : { x: 0, y: 0 };
  // one whole wave at least, where it runs along this side at all
  const least = (px: number, wavePerPx: number): number =>
    Math.max(px, Math.abs(wavePerPx) * waveLengthPx > 0.1 ? Math.ceil(0.9 / Math.abs(wavePerPx)) : 0);
  const widthPx = sideFor(line.x, periodPx, wave.x, waveLengthPx, least(LEAST_WIDTH_PX, wave.x));
  const heightPx = sideFor(line.y, periodPx, wave.y, waveLengthPx, least(LEAST_HEIGHT_PX, wave.y));
  const repeat = { widthPx, heightPx, shiftPx: 0 };
  return {
    ...repeat,
    lines: { x: evenTurns(line.x, widthPx), y: evenTurns(line.y, heightPx) },
    wave: turnsIn(repeat, wave),
  };
}

/** Length and direction of what so many turns in a tile come to. */
export function achievedBy(
  { widthPx, heightPx }: Repeat,
  turns: Turns,
): { periodPx: number; angleDeg: number } {
  const [x, y] = [turns.x / widthPx, turns.y / heightPx];
  const degrees = (Math.atan2(x, y) * 180) / Math.PI;
  return { periodPx: 1 / Math.hypot(x, y), angleDeg: degrees < 0 ? degrees + 180 : degrees };
}
