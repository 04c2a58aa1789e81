import { createBitmap, getBit } from '../../dist/core/bitmap.js';
import { drawStrokes } from '../../dist/core/layout/stroke-raster.js';
import { textStrokes } from '../../dist/core/layout/strokefont.js';

const MM_PER_INCH = 25.4;
/** Places to a pixel along each side, averaged to a grey. */
const FINE = 4;

const line = (ax, ay, bx, by) => [
  { xMm: ax, yMm: ay },
  { xMm: bx, yMm: by },
];

/** A circle as one closed stroke. */
const circle = (xMm, yMm, radiusMm) =>
  Array.from({ length: 61 }, (_, i) => {
    const angle = (i * Math.PI) / 30;
    return { xMm: xMm + radiusMm * Math.cos(angle), yMm: yMm + radiusMm * Math.sin(angle) };
  });

/** What is on the sheet: strokes with the width of their pen, in mm; it fills a square of 26 mm. */
function* content() {
  const lines = [
    ['NIGHT FERRY', 2.3, 3.6],
    ['Ennerby Sound', 1.8, 7.2],
    ['printed by hand, 12 / 40', 1.2, 10.2],
    ['Port Ennerby, the last boat', 0.9, 12.6],
  ];
  for (const [text, heightMm, yMm] of lines)
    yield { strokes: textStrokes(text, { heightMm, xMm: 1, yMm }), penMm: heightMm / 8 };
  // lines from one twentieth to four tenths of a millimetre, level and slanting
  for (let i = 0; i < 7; i++) {
    const penMm = 0.05 * (i + 1) + (i === 6 ? 0.05 : 0);
    yield { strokes: [line(1, 14.6 + i * 0.75, 8, 14.6 + i * 0.75)], penMm };
    yield { strokes: [line(9 + i, 19.2, 10.4 + i, 14.6)], penMm };
  }
  for (let i = 0; i < 14; i++) yield { strokes: [line(1 + i * 0.3, 20.6, 1 + i * 0.3, 24.8)], penMm: 0.12 };
  for (let i = 0; i < 11; i++) {
    yield { strokes: [line(6 + i * 0.4, 20.6, 8 + i * 0.4, 24.8)], penMm: 0.15 };
    yield { strokes: [line(8 + i * 0.4, 20.6, 6 + i * 0.4, 24.8)], penMm: 0.15 };
  }
  for (let i = 0; i < 18; i++) {
    const angle = (i * Math.PI) / 18;
    const [dx, dy] = [3.4 * Math.cos(angle), 3.4 * Math.sin(angle)];
    yield { strokes: [line(21 - dx, 17 - dy, 21 + dx, 17 + dy)], penMm: 0.1 };
  }
  for (let i = 1; i < 5; i++) yield { strokes: [circle(18.5, 23, i * 0.5)], penMm: 0.14 };
  yield { strokes: [line(23.4, 22, 23.4, 24)], penMm: 2 };
}

/**
 * A sheet of lettering, lines, hatches and a star, drawn by this program's own pen font: ink 0 … 1 row by row, `sidePx`
 * square at `dpi`. `shiftPx` takes each pixel's ink from so far to its right and below.
 */
export function letteringSheet(sidePx, dpi, shiftPx = { x: 0, y: 0 }) {
  const pxPerMm = (dpi / MM_PER_INCH) * FINE;
  const fine = createBitmap(sidePx * FINE, sidePx * FINE);
  const moved = ({ xMm, yMm }) => ({
    xMm: xMm - (shiftPx.x * FINE) / pxPerMm,
    yMm: yMm - (shiftPx.y * FINE) / pxPerMm,
  });
  for (const { strokes, penMm } of content())
    drawStrokes(
      fine,
      strokes.map((stroke) => stroke.map(moved)),
      { pxPerMm, penMm },
    );
  const ink = new Float32Array(sidePx * sidePx);
  for (let y = 0; y < fine.heightPx; y++)
    for (let x = 0; x < fine.widthPx; x++)
      ink[Math.floor(y / FINE) * sidePx + Math.floor(x / FINE)] += getBit(fine, x, y) / (FINE * FINE);
  return ink;
}
