import { mkdirSync, mkdtempSync, readdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import type { Picture } from '../../../src/io/read/decode.ts';
import { openPicture } from '../../../src/io/read/open.ts';
import { openRows } from '../../../src/io/rows.ts';

/** What independent readers see in a corpus file; see fixtures/SOURCES.md. */
export interface Expected {
  readonly stored: readonly [number, number];
  readonly upright: readonly [number, number];
  readonly orientation: number;
  readonly alpha: boolean;
  readonly ppi?: number;
  readonly profile?: string;
  readonly probes: readonly (readonly [x: number, y: number, grey: number])[];
  readonly probes16?: readonly (readonly [x: number, y: number, grey16: number])[];
  readonly tolerance?: number;
  readonly quads?: readonly number[];
  readonly srgb?: readonly (readonly number[])[];
  readonly srgb_grey?: readonly number[];
  readonly over_white?: Readonly<Record<string, number>>;
  readonly grey16_at?: Readonly<Record<string, number>>;
}

const corpus = join(import.meta.dirname, '../../../fixtures/corpus');

export const expected: Readonly<Record<string, Expected>> = JSON.parse(
  readFileSync(join(corpus, 'expect.json'), 'utf8'),
).files;

export const corpusPath = (file: string): string => join(corpus, file);
export const corpusFiles = (folder: 'good' | 'odd' | 'broken'): string[] =>
  readdirSync(join(corpus, folder)).map((file) => `${folder}/${file}`);

/** A fresh folder that a test may check for left-overs. */
export function emptyFolder(): string {
  const top = join(tmpdir(), 'etchwright-tests');
  mkdirSync(top, { recursive: true });
  return mkdtempSync(join(top, 'read-'));
}

export interface Opening {
  readonly page?: number;
  readonly maxPixels?: number;
  readonly scratchDir?: string;
}

/** Opens any file with the settings of a plain run. */
export const openAny = (
  path: string,
  { page, maxPixels = 100_000_000, scratchDir = tmpdir() }: Opening = {},
) =>
  openPicture({ path, name: basename(path) }, { maxPixels, scratchDir, ...(page !== undefined && { page }) });

export const openCorpus = (file: string, opening?: Opening) => openAny(corpusPath(file), opening);

export interface Grey {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Upright, in 8-bit codes; 16-bit sources give fractions. */
  at(x: number, y: number): number;
  /** As stored. */
  raw(x: number, y: number): number;
}

/** All of a picture, upright; closes it. */
export function greyOf(picture: Picture): Grey {
  const rows = openRows(picture.scratch, picture.facts.orientation);
  const all = Array.from({ length: rows.heightPx }, (_, y) => {
    const row = rows.newRow();
    rows.read(y, row);
    return row;
  });
  picture.close();
  const scale = rows.bytesPerSample === 2 ? 257 : 1;
  const raw = (x: number, y: number) => all[y]![x]!;
  return { widthPx: rows.widthPx, heightPx: rows.heightPx, raw, at: (x, y) => raw(x, y) / scale };
}

const linear = (code: number) =>
  code / 255 <= 0.04045 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;
const encoded = (light: number) =>
  255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);

/** The rule in its plain form: IEC 61966-2-1 decoding, BT.709-6 item 3.2 weights, coded again. */
export const greyOfSrgb = ([r, g, b]: readonly number[]): number =>
  encoded(0.2126 * linear(r!) + 0.7152 * linear(g!) + 0.0722 * linear(b!));
