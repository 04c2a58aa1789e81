import { type Block, headed, LINE_MM, labelOn, noParts, type Shape } from './parts.ts';

const GAPS_MM = [2, 5, 12, 30];
const WALL_MM = 1.2;
const GAP_LENGTH_MM = GAPS_MM.at(-1)!;

/** Zone G: wells between walls, wide to narrow, all as long as the widest is wide; relief. */
export function gapsBlock(): Block {
  const lines = [[GAPS_MM], [GAPS_MM.slice(-1), GAPS_MM.slice(0, -1)]];
  return { name: 'G', shapes: lines.map((sizes) => headed('G gaps mm', gapLines(sizes))) };
}

function gapLines(lines: readonly (readonly number[])[]): Shape {
  const parts = noParts();
  const heightMm = GAP_LENGTH_MM + 2 * WALL_MM;
  let widest = 0;
  for (const [line, sizes] of lines.entries()) {
    const yMm = line * (heightMm + LINE_MM);
    let xMm = WALL_MM;
    for (const sizeMm of sizes) {
      parts.features.push({
        id: `gaps-${GAPS_MM.indexOf(sizeMm) + 1}`,
        zone: 'gaps',
        side: 'etched',
        shape: 'gap',
        sizeMm,
        direction: 'y',
        xMm,
        yMm: yMm + WALL_MM,
        widthMm: sizeMm,
        heightMm: GAP_LENGTH_MM,
      });
      parts.labels.push(labelOn(String(sizeMm), xMm + sizeMm / 2, yMm + heightMm));
      xMm += sizeMm + WALL_MM;
    }
    parts.grounds.push({ xMm: 0, yMm, widthMm: xMm, heightMm });
    widest = Math.max(widest, xMm);
  }
  return { widthMm: widest, heightMm: lines.length * (heightMm + LINE_MM), parts };
}

const RUNG_MM = { widthMm: 5, heightMm: 5 };

/** Zone I: areas that are etched one to four times, where the further passes have files of their own. */
export function ladderBlock(passes: readonly number[], inGround: boolean): Block {
  const parts = noParts();
  const pitchMm = RUNG_MM.widthMm + WALL_MM;
  for (const [i, count] of passes.entries()) {
    const xMm = WALL_MM + i * pitchMm;
    parts.ladder.push({ xMm, yMm: WALL_MM, ...RUNG_MM, passes: count });
    parts.labels.push(labelOn(String(count), xMm + RUNG_MM.widthMm / 2, RUNG_MM.heightMm + 2 * WALL_MM));
  }
  const widthMm = passes.length * pitchMm + WALL_MM;
  const heightMm = RUNG_MM.heightMm + 2 * WALL_MM;
  if (inGround) parts.grounds.push({ xMm: 0, yMm: 0, widthMm, heightMm });
  return {
    name: 'I',
    shapes: [headed('I passes', { widthMm, heightMm: heightMm + LINE_MM, parts })],
  };
}
