/**
 * Depths a master carver measured in his own blocks for gaps of a width, printed by baren with brushed colour on
 * damp paper: [gap, depth] in mm (woodblock.com, encyclopedia, chapter 18).
 */
const CARVED: readonly (readonly [gapMm: number, depthMm: number])[] = [
  [0, 0],
  [10, 0.7],
  [20, 1.3],
  [30, 2],
  [50, 3.6],
  [100, 4.5],
];

/** The same carver never goes deeper. */
const DEEPEST_MM = 5;

/**
 * Depth (mm) that keeps the floor of a cleared gap from printing under a baren: the carver's table, straight
 * between its values (0.07 of the gap up to 10 mm), the last slope beyond them, never over 5 mm.
 */
export function barenDepthMm(gapMm: number): number {
  const beyond = CARVED.findIndex(([gap]) => gap >= gapMm);
  const upper = beyond < 0 ? CARVED.length - 1 : Math.max(1, beyond);
  const [fromGap, fromDepth] = CARVED[upper - 1]!;
  const [toGap, toDepth] = CARVED[upper]!;
  const depth = fromDepth + ((gapMm - fromGap) * (toDepth - fromDepth)) / (toGap - fromGap);
  return Math.min(DEEPEST_MM, depth);
}

/**
 * How deep a roller dips into a gap it falls into: R − √(R² − g² / 4). Null from g = 2R on: it then lies on the
 * floor whatever the depth. Circle geometry; a soft covering dips deeper, a roller longer than the gap may not
 * fall in at all.
 */
export function rollerDipMm(gapMm: number, radiusMm: number): number | null {
  if (gapMm >= 2 * radiusMm) return null;
  return radiusMm - Math.sqrt(radiusMm * radiusMm - (gapMm * gapMm) / 4);
}
