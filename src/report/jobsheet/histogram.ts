import { percent } from '../words.ts';
import { at, ticks } from './axis.ts';
import { chart } from './chart.ts';
import { html, type Markup } from './html.ts';

const FIFTHS = [0, 0.2, 0.4, 0.6, 0.8, 1];
/** So that bars beside each other stay apart. */
const GAP_MM = 0.4;

/**
 * How much of the plate is etched how densely: `bins` are areas (any unit) of pieces of the plate by their etched
 * share, in equal steps from 0 to 1. Null where there is no area.
 */
export function coverageHistogram(bins: readonly number[]): Markup | null {
  const total = bins.reduce((sum, area) => sum + area, 0);
  if (!(total > 0)) return null;
  const shares = bins.map((area) => area / total);
  const most = Math.max(...shares);
  const fullest = shares.indexOf(most);
  const from = percent(fullest / bins.length);
  const to = percent((fullest + 1) / bins.length);
  return chart(
    {
      id: 'coverage',
      title: 'Coverage: how densely the plate is etched',
      description: `The largest part, ${percent(most)} of the plate, is etched ${from} to ${to}.`,
    },
    {
      x: { label: 'etched share of a small piece, %', ticks: FIFTHS },
      y: { label: 'plate, %', ticks: ticks(most, 5) },
    },
    ({ x, y, bottom }) =>
      shares.map((share, i) => {
        const left = x(i / bins.length) + GAP_MM / 2;
        const width = x((i + 1) / bins.length) - GAP_MM / 2 - left;
        return share > 0
          ? html`<rect x="${at(left)}" y="${at(y(share))}" width="${at(width)}" height="${at(bottom - y(share))}"/>`
          : null;
      }),
  );
}
