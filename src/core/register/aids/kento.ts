import type { BoxMm } from '../../outlines/contract.ts';
import type { AidDef, RegisterPlace } from '../contract.ts';

/** Arms of the corner are 15 to 25 mm, the straight stop is 30 to 50; from memory. */
const KAGI_MM = 20;
const HIKITSUKE_MM = 40;
/** The stop's middle lies so far along the side from the corner; from memory. */
const ALONG_SHARE = 2 / 3;
/** What stands between the paper's edge and the edge of the block. */
const WALL_MM = 4.5;
/** Marks lie close to the design but never touch it. */
const CLEAR_MM = 2;
/** Twice as much is added to the length of a block for its marks: F. M. Fletcher, Wood-Block Printing (1916). */
const BORDER_MM = 12.5;

/** Along the long side from the corner's end, and away from the middle of the block: 0 is its edge. */
interface Strip {
  readonly from: number;
  readonly to: number;
  readonly off: number;
  readonly deep: number;
}

/** Both marks stand at the foot, or at the left where the canvas is upright; the corner is at the print's lower left. */
function boxOf({ widthMm, heightMm }: RegisterPlace, { from, to, off, deep }: Strip): BoxMm {
  const isWide = widthMm >= heightMm;
  return isWide
    ? { xMm: from, yMm: heightMm - off - deep, widthMm: to - from, heightMm: deep }
    : { xMm: off, yMm: heightMm - to, widthMm: deep, heightMm: to - from };
}

const shelfMm = ({ borderMm }: RegisterPlace): number => borderMm - WALL_MM - CLEAR_MM;

/**
 * Where the paper lies, and with `walls` what it stops against too: for the corner two strips, for the straight stop
 * one. No wall stands at the open ends: the paper goes on there.
 */
function strips(place: RegisterPlace, walls: boolean): Strip[] {
  const longMm = Math.max(place.widthMm, place.heightMm);
  const shelf = shelfMm(place);
  const off = walls ? 0 : WALL_MM;
  const deep = walls ? WALL_MM + shelf : shelf;
  const start = walls ? 0 : WALL_MM;
  const middle = WALL_MM + ALONG_SHARE * (longMm - 2 * WALL_MM);
  return [
    { from: start, to: WALL_MM + KAGI_MM, off, deep },
    { from: start, to: start + deep, off, deep: WALL_MM + KAGI_MM - off },
    { from: middle - HIKITSUKE_MM / 2, to: middle + HIKITSUKE_MM / 2, off, deep },
  ];
}

/** Corner and straight stop cut into the block itself. */
export const kento: AidDef = {
  kind: 'kento',
  summary: 'kento cut into a block: a corner (kagi) and a straight stop (hikitsuke) along one long side',
  matrices: ['block'],
  mostLineMm: Number.POSITIVE_INFINITY,
  // from memory
  achievableMm: 0.3,
  hasScales: false,
  notes: [
    'The shelves are engraved in a pass by themselves, little more than the thickness of the paper (0.3 to 1 mm): deeper ones are less accurate.',
    'Lay the paper into the corner first, then against the straight stop. Keep ink off both, and clear the shelf where a cleared valley reaches them.',
    'Small adjustments are normal when the paper takes up moisture: shave the stop, or glue in a strip of card.',
  ],
  room: () => ({
    borderMm: BORDER_MM,
    shortSideMm: 2 * KAGI_MM,
    // the corner, the straight stop and as much as is left at its end
    longSideMm: 3 * (HIKITSUKE_MM / 2 + WALL_MM) + KAGI_MM,
  }),
  marks: (place) =>
    strips(place, true).map((strip) => {
      const box = boxOf(place, strip);
      return { box, strokes: [], areas: [box] };
    }),
  shelf: (place) => ({
    boxes: strips(place, false).map((strip) => boxOf(place, strip)),
    leastDepthMm: 0.3,
    mostDepthMm: 1,
  }),
  cut: () => [],
};
