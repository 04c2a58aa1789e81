import { MaxRectsPacker, PACKING_LOGIC } from 'maxrects-packer/dist/maxrects-packer.mjs';
import { laid, type Piece, type Room, type Sheets } from './contract.ts';

/** What the packer tries to waste least of: area, or the shorter edge left over. */
export type Waste = 'area' | 'edge';

const LOGIC = { area: PACKING_LOGIC.MAX_AREA, edge: PACKING_LOGIC.MAX_EDGE } as const;

interface Shape {
  readonly piece: number;
  readonly width: number;
  readonly height: number;
  x: number;
  y: number;
  rot: boolean;
}

/**
 * Free packing by maximal rectangles (Jylänki 2010), for plates of many sizes. `turns` says how each piece is to lie;
 * null leaves it to the packer.
 */
export function packMaxRects(
  pieces: readonly Piece[],
  turns: readonly boolean[] | null,
  room: Room,
  waste: Waste,
): Sheets {
  const packer = new MaxRectsPacker<Shape>(room.widthPx, room.heightPx, room.gutterPx, {
    smart: false,
    pot: false,
    square: false,
    allowRotation: turns === null,
    logic: LOGIC[waste],
  });
  const shapes = pieces.map((piece, index) => {
    const { widthPx, heightPx } = laid(piece, turns?.[index] ?? false);
    return { width: widthPx, height: heightPx, x: 0, y: 0, rot: false, piece: index };
  });
  packer.addArray(shapes);
  return packer.bins.map(({ rects }) =>
    rects.map(({ piece, x, y, rot }) => ({ piece, xPx: x, yPx: y, turned: turns?.[piece] ?? rot })),
  );
}
