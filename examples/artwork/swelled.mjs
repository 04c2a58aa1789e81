/** Lines that swell and thin, as a graver cuts them: the darker a place, the broader the line. */
const round = (value) => Math.round(value * 10) / 10;

/** A closed outline round points {x, y, widthPx}; the line stands across the points' own path, top to bottom. */
function outline(points) {
  const first = points[0];
  const last = points.at(-1);
  const there = points.map(({ x, y, widthPx }) => `${round(x)},${round(y - widthPx / 2)}`);
  const back = points.map(({ x, y, widthPx }) => `${round(x)},${round(y + widthPx / 2)}`).reverse();
  return `M${round(first.x - first.widthPx)},${round(first.y)}L${there.join(' ')} ${round(last.x + last.widthPx)},${round(last.y)} ${back.join(' ')}Z`;
}

/** One line as path data, lifted off wherever it would be thinner than the graver's finest cut. */
function swelledLine(points, finestPx = 2.6) {
  const runs = [];
  let run = [];
  for (const point of [...points, { x: 0, y: 0, widthPx: 0 }]) {
    if (point.widthPx >= finestPx) run.push(point);
    else {
      if (run.length > 2) runs.push(outline(run));
      run = [];
    }
  }
  return runs.join('');
}

/** Lines across a strip from left to right: `yAt(x)` is the course, `widthAt(x, y)` the breadth. */
export function lineAcross({ fromPx, toPx, stepPx = 5 }, yAt, widthAt) {
  const points = [];
  for (let x = fromPx; x <= toPx; x += stepPx) {
    const y = yAt(x);
    points.push({ x, y, widthPx: widthAt(x, y) });
  }
  return swelledLine(points);
}

/** As many pieces of a drawing as asked, one after the other. */
export const repeat = (count, draw) => Array.from({ length: count }, (_, k) => draw(k)).join('');
