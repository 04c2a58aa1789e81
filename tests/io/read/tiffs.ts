import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { emptyFolder, greyOf, type Opening, openAny } from './pictures.ts';
import { type Page, tiffOf } from './tiff-maker.ts';

const folder = emptyFolder();

/** A row of four greys, to be changed. */
export const grey4: Page = {
  widthPx: 4,
  heightPx: 1,
  bits: [8],
  photometric: 1,
  data: new Uint8Array([0, 85, 170, 255]),
};

export const words = (...values: number[]) => new Uint8Array(Uint16Array.from(values).buffer);

/** Writes, opens and closes a TIFF; `row` is its first upright row as it lies in the scratch. */
export async function openedTiff(bytes: Uint8Array, opening?: Opening) {
  const file = join(folder, 'made.tif');
  writeFileSync(file, bytes);
  const picture = await openAny(file, opening);
  const grey = greyOf(picture);
  return { facts: picture.facts, row: Array.from({ length: grey.widthPx }, (_, x) => grey.raw(x, 0)) };
}

export const rowOf = async (page: Partial<Page>) => (await openedTiff(tiffOf({ ...grey4, ...page }))).row;

export const codes = (cautions: readonly { code: string }[]) => cautions.map(({ code }) => code);
