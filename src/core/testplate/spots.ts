import { textWidthMm } from '../layout/strokefont.ts';
import { type Block, CAP_MM, headed, LINE_MM, labelBefore, labelOn, noParts, tidy } from './parts.ts';
import { addTwice, LABEL_COLUMN_MM, RIM_MM, type Sides } from './sides.ts';

const DOTS_MM = [0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1];
const POOLS_MM = [0.3, 0.5, 0.8, 1.2, 2, 3, 5, 8];

const DOTS_A_LINE = 5;
const DOT_PITCH_MM = 1.7;

/** Zone E: five dots of each size, dark ones left, bare ones in ink right. */
export function dotsBlock(sides: Sides): Block {
  const parts = noParts();
  const pitchY = 2.3;
  const pieces = DOTS_MM.flatMap((sizeMm, line) =>
    Array.from({ length: DOTS_A_LINE }, (_, column) => ({
      sizeMm,
      xMm: tidy(LABEL_COLUMN_MM + (column + 0.5) * DOT_PITCH_MM - sizeMm / 2),
      yMm: tidy(RIM_MM + (line + 0.5) * pitchY - sizeMm / 2),
      widthMm: sizeMm,
      heightMm: sizeMm,
    })),
  );
  for (const [line, sizeMm] of DOTS_MM.entries())
    parts.labels.push(
      labelBefore(String(sizeMm), LABEL_COLUMN_MM - 0.3, RIM_MM + (line + 0.5) * pitchY - 1.2),
    );
  const widthMm = DOTS_A_LINE * DOT_PITCH_MM;
  const heightMm = tidy(DOTS_MM.length * pitchY);
  const extent = { xMm: LABEL_COLUMN_MM, yMm: RIM_MM, widthMm, heightMm };
  const rightMm = widthMm + 2 * RIM_MM;
  addTwice(parts, pieces, { zone: 'dots', shape: 'disc', direction: null }, sides, extent, {
    xMm: rightMm,
    yMm: 0,
  });
  return {
    name: 'E',
    shapes: [
      headed('E dots mm', {
        widthMm: tidy(LABEL_COLUMN_MM + rightMm + widthMm + RIM_MM),
        heightMm: tidy(heightMm + 2 * RIM_MM),
        parts,
      }),
    ],
  };
}

/** Zone F: etched squares from those that hold ink to those that wipe out; intaglio. */
export function poolsBlock(): Block {
  const parts = noParts();
  const largest = POOLS_MM.at(-1)!;
  let xMm = 0;
  for (const [i, sizeMm] of POOLS_MM.entries()) {
    const text = String(sizeMm);
    const pitchMm = Math.max(sizeMm, textWidthMm(text, CAP_MM)) + 0.8;
    const middleMm = xMm + (pitchMm - 0.8) / 2;
    parts.features.push({
      id: `pools-${i + 1}`,
      zone: 'pools',
      side: 'etched',
      shape: 'square',
      sizeMm,
      direction: null,
      xMm: tidy(middleMm - sizeMm / 2),
      yMm: tidy(largest - sizeMm),
      widthMm: sizeMm,
      heightMm: sizeMm,
    });
    parts.labels.push(labelOn(text, middleMm, largest));
    xMm += pitchMm;
  }
  const shape = { widthMm: tidy(xMm - 0.8), heightMm: largest + LINE_MM, parts };
  return { name: 'F', shapes: [headed('F open bite mm', shape)] };
}
