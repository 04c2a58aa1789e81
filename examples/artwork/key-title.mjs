import { textStrokes, textWidthMm } from '../../dist/core/layout/strokefont.js';
import { lineAcross, repeat } from './swelled.mjs';

const pathOf = (strokes) =>
  strokes
    .map((points) => `M${points.map(({ xMm, yMm }) => `${round(xMm)},${round(yMm)}`).join('L')}`)
    .join('');
const round = (mm) => Math.round(mm * 1000) / 100; // ten pixels a millimetre, to a hundredth of a pixel

/** A line of lettering centred on the block, letters set apart by `gapMm`. */
function lettering(text, { heightMm, yMm, penMm, gapMm }) {
  const letters = [...text];
  const widthMm = textWidthMm(text, heightMm) + gapMm * (letters.length - 1);
  let xMm = (240 - widthMm) / 2;
  let d = '';
  for (const letter of letters) {
    d += pathOf(textStrokes(letter, { heightMm, xMm, yMm }));
    xMm += textWidthMm(letter, heightMm) + gapMm;
  }
  const svg = `<path d="${d}" fill="none" stroke="#000" stroke-width="${penMm * 10}" stroke-linecap="round" stroke-linejoin="round"/>`;
  return { svg, fromPx: 1200 - widthMm * 5, toPx: 1200 + widthMm * 5 };
}

/** Title and place, with wavelets left and right. */
export function title() {
  const name = lettering('NIGHT FERRY', { heightMm: 13, yMm: 140.6, penMm: 2.2, gapMm: 2.4 });
  const place = lettering('ENNERBY SOUND', { heightMm: 4.6, yMm: 150.2, penMm: 0.75, gapMm: 2 });
  const wavelets = repeat(3, (k) => {
    const course = (x) => 1458 + k * 14 + 5 * Math.sin(x / 17 + k * 1.6);
    const swell = (from, to) => (x) => 7 * Math.sin(Math.PI * ((x - from) / (to - from))) ** 0.7;
    const [a, b, c, d] = [180 + k * 26, place.fromPx - 60 - k * 26, place.toPx + 60 + k * 26, 2220 - k * 26];
    return (
      lineAcross({ fromPx: a, toPx: b }, course, swell(a, b)) +
      lineAcross({ fromPx: c, toPx: d }, course, swell(c, d))
    );
  });
  return `${name.svg}${place.svg}<path d="${wavelets}"/>`;
}
