import { promisedMB, scale } from './rows.mjs';
import { measured, ourRun } from './whole.mjs';

/** Slope of the line of least squares through (log x, log y): 1 where y grows as x does. */
function slopeOf(points) {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)]);
  const mean = (axis) => logs.reduce((sum, point) => sum + point[axis], 0) / logs.length;
  const [meanX, meanY] = [mean(0), mean(1)];
  const sum = (of) => logs.reduce((total, [x, y]) => total + of(x - meanX, y - meanY), 0);
  return sum((x, y) => x * y) / sum((x) => x * x);
}

const number = (value, digits = 0) => value.toFixed(digits).padStart(10);

function benchSide({ title, words }, picture, rounds) {
  console.log(`\n${title}`);
  console.log('       Mpx   peak MB  promised  processor s   s a Gpx');
  const points = [];
  let kept = true;
  for (const plate of scale.plates) {
    // the least processor time of all rounds, since others only ever add to it; the highest peak
    const runs = Array.from({ length: rounds }, () =>
      measured((folder) => ourRun(words, picture, folder, plate)),
    );
    const px = plate.widthPx * plate.heightPx;
    const seconds = Math.min(...runs.map(({ userS, systemS }) => userS + systemS));
    const peakMB = Math.max(...runs.map((run) => run.peakMB));
    const mostMB = promisedMB(plate, 0);
    points.push({ px, seconds, peakMB });
    kept &&= peakMB <= mostMB;
    console.log(
      `${number(px / 1e6)}${number(peakMB)}${number(mostMB)}${number(seconds, 1).padStart(13)}${number((seconds * 1e9) / px, 1)}${peakMB > mostMB ? '  OVER' : ''}`,
    );
  }
  const [all, last] = [points, points.slice(-2)];
  const slopes = (of) => [all, last].map((some) => slopeOf(some.map((point) => [point.px, of(point)])));
  const [memory, lastMemory] = slopes(({ peakMB }) => peakMB);
  const [time, lastTime] = slopes(({ seconds }) => seconds);
  const isSteep = Math.max(lastTime, lastMemory) > scale.steepest;
  console.log(`  slope of all five (log-log)   memory ${memory.toFixed(2)}  time ${time.toFixed(2)}`);
  console.log(
    `  slope of the last two         memory ${lastMemory.toFixed(2)}  time ${lastTime.toFixed(2)}  at most ${scale.steepest}${isSteep ? ': OVER' : ''}`,
  );
  return kept && !isSteep;
}

/** How memory and processor time grow with the plate; true where both do as promised. */
export function benchScale(picture, rounds) {
  console.log('\nscale: a 24 Mpx JPEG made into ever larger plates');
  return scale.ours.map((side) => benchSide(side, picture, rounds)).every(Boolean);
}
