/** The job sheets that browsers look at and print: each kind of block and plate, one without pictures, one with hostile names. */
import { jobSheet } from '../../src/report/jobsheet/jobsheet.ts';
import type { Report } from '../../src/report/schema.ts';
import {
  allPictures,
  full,
  HOSTILE,
  hostile,
  noPictures,
  plain,
  realReport,
} from '../report/jobsheet/sheets.ts';

type Reports = Readonly<Record<'relief' | 'intaglio' | 'tonal', Report>>;

/** Made by real runs, so in front of the tests. */
export const makeReports = async (): Promise<Reports> => ({
  relief: await realReport('relief'),
  intaglio: await realReport('intaglio'),
  tonal: await realReport('relief', true),
});

export const PAGES = {
  relief: ({ relief }: Reports) => jobSheet(relief, allPictures(120, 80), full),
  intaglio: ({ intaglio }: Reports) => jobSheet(intaglio, allPictures(200, 300), full),
  tonal: ({ tonal }: Reports) => jobSheet(tonal, allPictures(180, 120), full),
  bare: ({ relief }: Reports) => jobSheet(relief, noPictures, plain),
  hostile: ({ relief }: Reports) =>
    jobSheet(hostile(relief), allPictures(300, 40), { ...full, name: HOSTILE, id: HOSTILE }),
} as const;

export const NAMES = Object.keys(PAGES) as (keyof typeof PAGES)[];
