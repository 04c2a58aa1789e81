import { num } from '../words.ts';
import { at, scale } from './axis.ts';
import { html, type Markup, type Piece } from './html.ts';

/** Two charts stand side by side on 186 mm. */
const WIDTH_MM = 90;
const HEIGHT_MM = 27.5;
const BOX = { left: 12, right: WIDTH_MM - 4, top: 4.4, bottom: HEIGHT_MM - 8.4 };

export interface Axis {
  readonly label: string;
  /** Shares, shown in per cent; from 0 upwards. */
  readonly ticks: readonly number[];
}

/** Where things lie in a chart, in mm. */
export interface Frame {
  x(share: number): number;
  y(share: number): number;
  readonly left: number;
  readonly top: number;
  readonly bottom: number;
}

const end = ({ ticks }: Axis): number => ticks[ticks.length - 1]!;

/**
 * A chart of shares in millimetres, black on white, that says in words what it shows. `id` begins the ids of its
 * parts and must be its own on the page.
 */
export function chart(
  about: { readonly id: string; readonly title: string; readonly description: string },
  axes: { readonly x: Axis; readonly y: Axis },
  draw: (frame: Frame) => Piece,
): Markup {
  const x = scale([0, end(axes.x)], [BOX.left, BOX.right]);
  const y = scale([0, end(axes.y)], [BOX.bottom, BOX.top]);
  const { id, title, description } = about;
  const upright = axes.x.ticks.map(
    (share) =>
      html`<path class="grid" d="M${at(x(share))} ${BOX.top}V${BOX.bottom}"/><text x="${at(x(share))}" y="${BOX.bottom + 3.6}" text-anchor="middle">${num(share * 100)}</text>`,
  );
  const level = axes.y.ticks.map(
    (share) =>
      html`<path class="grid" d="M${BOX.left} ${at(y(share))}H${BOX.right}"/><text x="${BOX.left - 1.2}" y="${at(y(share) + 0.9)}" text-anchor="end">${num(share * 100)}</text>`,
  );
  return html`<figure class="chart"><svg width="${WIDTH_MM}mm" height="${HEIGHT_MM}mm" viewBox="0 0 ${WIDTH_MM} ${HEIGHT_MM}" role="img" aria-labelledby="${id}-title ${id}-about"><title id="${id}-title">${title}</title><desc id="${id}-about">${description}</desc>${upright}${level}<path class="axis" d="M${BOX.left} ${BOX.top}V${BOX.bottom}H${BOX.right}"/>${draw({ x, y, left: BOX.left, top: BOX.top, bottom: BOX.bottom })}<text x="${(BOX.left + BOX.right) / 2}" y="${HEIGHT_MM - 1.6}" text-anchor="middle">${axes.x.label}</text><text transform="translate(3 ${(BOX.top + BOX.bottom) / 2}) rotate(-90)" text-anchor="middle">${axes.y.label}</text></svg><figcaption>${title}</figcaption></figure>`;
}
