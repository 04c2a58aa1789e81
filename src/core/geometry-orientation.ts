/**
 * The eight ways a stored picture can lie, numbered as in EXIF (CIPA DC-008, tag 0x0112; the same in TIFF 6.0,
 * tag 274): 1 upright, 2 mirrored left-right, 3 half turn, 4 mirrored top-bottom, 5 mirrored on the main
 * diagonal, 6 to be turned 90° clockwise, 7 mirrored on the other diagonal, 8 to be turned 90° anticlockwise.
 */
export type Orientation = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8;

/** Quarter turns the user may ask for, clockwise. */
export type RotateDeg = 0 | 90 | 180 | 270;

/**
 * How to find the stored pixel of an upright one: (u, v) is (y, x) where `transposed`, else (x, y);
 * then u counts from the right edge where `flippedX`, v from the bottom where `flippedY`.
 */
export interface Turn {
  readonly transposed: boolean;
  readonly flippedX: boolean;
  readonly flippedY: boolean;
}

const turns: Readonly<Record<Orientation, Turn>> = {
  1: { transposed: false, flippedX: false, flippedY: false },
  2: { transposed: false, flippedX: true, flippedY: false },
  3: { transposed: false, flippedX: true, flippedY: true },
  4: { transposed: false, flippedX: false, flippedY: true },
  5: { transposed: true, flippedX: false, flippedY: false },
  6: { transposed: true, flippedX: false, flippedY: true },
  7: { transposed: true, flippedX: true, flippedY: true },
  8: { transposed: true, flippedX: true, flippedY: false },
};

const orientationOfRotation: Readonly<Record<RotateDeg, Orientation>> = { 0: 1, 90: 6, 180: 3, 270: 8 };

/** The turn that an orientation number stands for. */
export const turnOf = (orientation: Orientation): Turn => turns[orientation];

const orientationOf = (turn: Turn): Orientation => {
  if (turn.transposed) return turn.flippedX ? (turn.flippedY ? 7 : 8) : turn.flippedY ? 6 : 5;
  return turn.flippedX ? (turn.flippedY ? 3 : 2) : turn.flippedY ? 4 : 1;
};

/** The orientation of a picture that is first made upright by `stored`, then turned and mirrored by `wanted`. */
export function combineOrientations(stored: Orientation, wanted: Orientation): Orientation {
  const first = turns[stored];
  const then = turns[wanted];
  return orientationOf({
    transposed: first.transposed !== then.transposed,
    flippedX: first.flippedX !== (first.transposed ? then.flippedY : then.flippedX),
    flippedY: first.flippedY !== (first.transposed ? then.flippedX : then.flippedY),
  });
}

/** The orientation of a picture made upright by its own tag and then turned clockwise by the user. */
export const composeOrientation = (exif: Orientation, rotateDeg: RotateDeg): Orientation =>
  combineOrientations(exif, orientationOfRotation[rotateDeg]);

/** Width and height as seen, in pixels, from width and height as stored. */
export function uprightSize(
  orientation: Orientation,
  stored: { readonly widthPx: number; readonly heightPx: number },
): { widthPx: number; heightPx: number } {
  return turns[orientation].transposed
    ? { widthPx: stored.heightPx, heightPx: stored.widthPx }
    : { widthPx: stored.widthPx, heightPx: stored.heightPx };
}
