import { EtchError } from '../../core/errors.ts';
import { num } from '../words.ts';
import { html, type Markup, nothing } from './html.ts';

/** An image within the sheet, and how large it would be on the plate. */
export interface SheetPicture {
  /** `data:image/png;base64,…` or `data:image/jpeg;base64,…`; 1,100 pixels are enough for any width. */
  readonly dataUri: string;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** What can be shown of a plate; null where it was not made. */
export interface SheetPictures {
  readonly artwork: SheetPicture | null;
  readonly proof: SheetPicture | null;
  readonly plate: SheetPicture | null;
  readonly holdMap: SheetPicture | null;
}

const CAPTIONS = {
  artwork: 'Artwork',
  proof: 'Proof',
  plate: 'Plate, as filed',
  holdMap: 'What may not hold',
} as const;

const CONTENT_MM = 186;
const GUTTER_MM = 4;
/** Tallest picture: all that the machine wants to know stays on the first page. */
const TALLEST_MM = 35;

/** Base64 of a bitmap and nothing else: an address or an SVG with scripts is not let in. */
export const IMAGE_URI = /^data:image\/(?:png|jpeg);base64,[A-Za-z0-9+/]+={0,2}$/;

function checked({ dataUri, widthMm, heightMm }: SheetPicture, name: string): void {
  if (IMAGE_URI.test(dataUri) && widthMm > 0 && heightMm > 0) return;
  throw new EtchError(
    'output',
    'sheet-picture',
    `The job sheet cannot hold its picture "${name}" of ${widthMm} × ${heightMm} mm (${dataUri.slice(0, 30)}…)`,
    'Give it as a PNG or JPEG data URI with a width and height above 0.',
  );
}

type SizeMm = Pick<SheetPicture, 'widthMm' | 'heightMm'>;

/** The share of their true size, never above 1, at which all pictures stand in one row. */
export function shareFor(pictures: readonly SizeMm[]): number {
  const widest = Math.max(...pictures.map(({ widthMm }) => widthMm));
  const tallest = Math.max(...pictures.map(({ heightMm }) => heightMm));
  const columnMm = (CONTENT_MM - GUTTER_MM * (pictures.length - 1)) / pictures.length;
  return Math.min(1, columnMm / widest, TALLEST_MM / tallest);
}

/** The pictures that there are, in one scale; missing ones leave no hole. `legend` tells the letters of the hold map. */
export function pictureRow(pictures: SheetPictures, plateName: string, legend: string): Markup {
  const shown = (Object.keys(CAPTIONS) as (keyof SheetPictures)[]).flatMap((name) => {
    const picture = pictures[name];
    return picture === null ? [] : [{ name, ...picture }];
  });
  if (shown.length === 0) return nothing;
  for (const picture of shown) checked(picture, picture.name);
  const share = shareFor(shown);
  const told = share === 1 ? 'true size' : `${num(share * 100, 0)} %`;
  const figures = shown.map(({ name, dataUri, widthMm, heightMm }) => {
    const size = `width:${num(widthMm * share, 2)}mm;height:${num(heightMm * share, 2)}mm`;
    return html`<figure><img src="${dataUri}" alt="${CAPTIONS[name]} (${plateName})" style="${size}"/><figcaption><b>${CAPTIONS[name]}</b><span class="scale"> · ${told}</span></figcaption></figure>`;
  });
  const letters =
    pictures.holdMap === null || legend === ''
      ? null
      : html`<p class="small letters">On the map of what may not hold: ${legend}.</p>`;
  return html`<section class="pictures" style="grid-template-columns:repeat(${shown.length},1fr)" aria-label="Pictures">${figures}${letters}</section>`;
}
