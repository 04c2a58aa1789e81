import type { OutlinePath, PointMm, Segment } from '../../core/outlines/contract.ts';

type Line = Omit<OutlinePath, 'isHole'>;

const pointsOf = (numbers: string): PointMm[] => {
  const values = numbers.trim().split(/\s+/).map(Number);
  return Array.from({ length: values.length >> 1 }, (_, i) => ({ x: values[2 * i]!, y: values[2 * i + 1]! }));
};

function segmentOf(command: string, points: readonly PointMm[]): Segment {
  const [a, b, c] = points;
  return command === 'C' ? { c1: a!, c2: b!, to: c! } : { to: a! };
}

function lineOf(data: string): Line {
  const [start, ...steps] = [...data.matchAll(/([MLC])([^MLCZ]*)/g)].map(
    ([, command = '', numbers = '']) => ({
      command,
      points: pointsOf(numbers),
    }),
  );
  return {
    start: start!.points[0]!,
    segments: steps.map(({ command, points }) => segmentOf(command, points)),
  };
}

/** Whether a point lies inside a line, its curves taken for their chords: lines of an outline never touch each other. */
function isInside({ x, y }: PointMm, { start, segments }: Line): boolean {
  let from = start;
  let inside = false;
  for (const { to } of segments) {
    if (from.y > y !== to.y > y && x < from.x + ((y - from.y) / (to.y - from.y)) * (to.x - from.x))
      inside = !inside;
    from = to;
  }
  return inside;
}

/** The closed lines of an SVG that `writeOutlineSvg` wrote, in mm of its page; lettering is left out. */
export function readOutlineSvg(svg: string): OutlinePath[] {
  const lines = [...svg.matchAll(/<path d="(M[-0-9. MLC]+)Z"/g)].map(([, data]) => lineOf(data!));
  return lines.map((line) => ({
    ...line,
    isHole: lines.filter((other) => other !== line && isInside(line.start, other)).length % 2 === 1,
  }));
}
