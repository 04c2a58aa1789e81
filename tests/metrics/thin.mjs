/** Leaves of every run of marked places those at which `side` of them, or more, have come together. */
function endRuns(map, count, step, lines, lineStep, side) {
  for (let line = 0; line < lines; line++) {
    let run = 0;
    for (let i = 0, at = line * lineStep; i < count; i++, at += step) {
      run = map[at] === 1 ? run + 1 : 0;
      map[at] = run >= side ? 1 : 0;
    }
  }
}

/** Marks the `side` − 1 places before every marked one. */
function spreadBack(map, count, step, lines, lineStep, side) {
  for (let line = 0; line < lines; line++) {
    let left = 0;
    for (let i = count - 1, at = line * lineStep + i * step; i >= 0; i--, at -= step) {
      if (map[at] === 1) left = side;
      map[at] = left > 0 ? 1 : 0;
      left--;
    }
  }
}

/**
 * Share of the land that is too thin: what an opening by a square takes away of the places that are 0. Beyond the edges
 * there is land.
 * @param {Uint8Array} surface 1 = etched
 * @param {number} wide places in a row
 * @param {number} side width that holds, in places
 * @param {number} [margin] places along every edge that are looked at but not counted
 * @returns {number} 0 … 1; 0 where there is no land
 */
export function thinLandShare(surface, wide, side, margin = 0) {
  const high = surface.length / wide;
  const outerWide = wide + 2 * side;
  const outerHigh = high + 2 * side;
  const opened = new Uint8Array(outerWide * outerHigh).fill(1);
  const inner = (y) => (y + side) * outerWide + side;
  for (let y = 0, i = 0; y < high; y++)
    for (let x = 0, at = inner(y); x < wide; x++, i++, at++) opened[at] = 1 - surface[i];
  const counted = () => {
    let sum = 0;
    for (let y = margin; y < high - margin; y++)
      for (let x = margin, at = inner(y) + margin; x < wide - margin; x++, at++) sum += opened[at];
    return sum;
  };
  const land = counted();
  if (land === 0) return 0;
  endRuns(opened, outerWide, 1, outerHigh, outerWide, side);
  endRuns(opened, outerHigh, outerWide, outerWide, 1, side);
  spreadBack(opened, outerHigh, outerWide, outerWide, 1, side);
  spreadBack(opened, outerWide, 1, outerHigh, outerWide, side);
  return (land - counted()) / land;
}
