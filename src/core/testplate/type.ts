import { MM_PER_INCH } from '../geometry.ts';
import { textWidthMm } from '../layout/strokefont.ts';
import { type Block, headed, noParts, tidy } from './parts.ts';

const TYPE_PT = [5, 6, 7, 8, 9, 10, 12];
const MM_PER_PT = MM_PER_INCH / 72;
/** Capitals stand about seven tenths of the body high (common practice). */
export const CAP_OF_BODY = 0.7;

/** Zone L: the same word in growing bodies. */
export function typeBlock(): Block {
  const parts = noParts();
  let yMm = 0;
  let widest = 0;
  for (const sizePt of TYPE_PT) {
    const bodyMm = sizePt * MM_PER_PT;
    const text = `${sizePt} Hamburg`;
    const widthMm = tidy(textWidthMm(text, bodyMm * CAP_OF_BODY));
    parts.type.push({ text, sizePt, xMm: 0, yMm: tidy(yMm), widthMm, heightMm: tidy(bodyMm) });
    yMm += bodyMm * 1.05;
    widest = Math.max(widest, widthMm);
  }
  return { name: 'L', shapes: [headed('L type pt', { widthMm: widest, heightMm: tidy(yMm), parts })] };
}
