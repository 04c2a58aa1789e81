import { percent } from '../words.ts';
import { at } from './axis.ts';
import { chart, type Frame } from './chart.ts';
import { html, type Markup } from './html.ts';

/** Tone of the picture and tone on the plate or print, both 0 (paper) … 1 (solid). */
export type TonePoint = readonly [picture: number, got: number];

/** What is known of the way of tone; what is not is left out of the plot. */
export interface ToneCurves {
  /** What the job asks for: cap, floor, gamma. */
  readonly asked?: readonly TonePoint[];
  /** What the beam will make of it. */
  readonly predicted?: readonly TonePoint[];
  /** What a proof came to. */
  readonly measured?: readonly TonePoint[];
}

/** Told apart by their lines, not by colour; measured tones are dots, as each of them was read. */
const LINES = [
  { key: 'asked', dash: '2 1.2', dots: false },
  { key: 'predicted', dash: null, dots: false },
  { key: 'measured', dash: '0.4 1', dots: true },
] as const;

type Line = (typeof LINES)[number];

const FIFTHS = [0, 0.2, 0.4, 0.6, 0.8, 1];
const LEGEND = { widthMm: 25, aboveMm: 2.4 };

const within = (share: number): number => Math.min(1, Math.max(0, share));

const cleaned = (points: readonly TonePoint[]): TonePoint[] =>
  points
    .filter((point) => point.every(Number.isFinite))
    .map(([picture, got]): TonePoint => [within(picture), within(got)])
    .sort((a, b) => a[0] - b[0]);

const stroke = ({ dash }: Line, d: string): Markup =>
  dash === null
    ? html`<path class="line" d="${d}"/>`
    : html`<path class="line" stroke-dasharray="${dash}" d="${d}"/>`;

const dot = (x: number, y: number): Markup => html`<circle cx="${at(x)}" cy="${at(y)}" r="0.8"/>`;

function curve(line: Line, points: readonly TonePoint[], { x, y }: Frame): Markup {
  const d = points.map(([a, b], i) => `${i === 0 ? 'M' : 'L'}${at(x(a))} ${at(y(b))}`).join('');
  return html`${stroke(line, d)}${line.dots ? points.map(([a, b]) => dot(x(a), y(b))) : null}`;
}

/** In a row above the plot, where it hides no curve. */
function legend(line: Line, n: number, { left, top }: Frame): Markup {
  const from = at(left + n * LEGEND.widthMm);
  const y = at(top - LEGEND.aboveMm);
  return html`${stroke(line, `M${from} ${y}h8`)}${line.dots ? dot(from + 4, y) : null}<text x="${at(from + 9.5)}" y="${at(y + 0.9)}">${line.key}</text>`;
}

/** In words what the middle tone comes to: the reading nearest to a half, for those who do not see the plot. */
function nearHalf({ key }: Line, points: readonly TonePoint[]): string {
  const [picture, got] = points.reduce((best, point) =>
    Math.abs(point[0] - 0.5) < Math.abs(best[0] - 0.5) ? point : best,
  );
  return `${key} ${percent(got)} at a tone of ${percent(picture)}`;
}

/** The tone asked for, predicted and measured over that of the picture; null where no point is known. */
export function tonePlot(curves: ToneCurves): Markup | null {
  const known = LINES.map((line) => ({ line, points: cleaned(curves[line.key] ?? []) })).filter(
    ({ points }) => points.length > 0,
  );
  if (known.length === 0) return null;
  const words = known.map(({ line, points }) => nearHalf(line, points)).join('; ');
  return chart(
    { id: 'tone', title: 'Tone: from the picture to the plate', description: `${words}.` },
    { x: { label: 'tone of the picture, %', ticks: FIFTHS }, y: { label: 'tone got, %', ticks: FIFTHS } },
    (frame) =>
      known.map(({ line, points }, i) => html`${curve(line, points, frame)}${legend(line, i, frame)}`),
  );
}
