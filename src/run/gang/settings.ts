import * as z from 'zod';

const sheet = { group: 'sheet', bits: false };
const mm = (least: number, most: number, what: string) =>
  z
    .number()
    .min(least)
    .max(most)
    .describe(what)
    .meta({ ...sheet, unit: 'mm' });

/** What only a sheet with several plates is told. Gutter, margin and saw allowance are from memory. */
export const gangSettings = z.strictObject({
  sheetWidthMm: mm(10, 10_000, 'width of the sheet, along the scan; the bed’s unless given').optional(),
  sheetHeightMm: mm(10, 10_000, 'height of the sheet; the bed’s unless given').optional(),
  gutterMm: mm(0, 200, 'least that is kept between two plates; ids stand in it').default(6),
  sawAllowanceMm: mm(0, 50, 'what cutting by hand takes beside the kerf').default(1),
  sheetMarginMm: mm(0, 500, 'what is kept free along the edges of the sheet').default(6),
  turn: z
    .enum(['auto', 'off'])
    .describe('whether plates may lie turned by 90 degrees')
    .meta(sheet)
    .default('auto'),
  duplicates: z.int().min(1).max(1000).describe('lay so many of the one plate given').meta(sheet).optional(),
});

export type GangSettings = z.output<typeof gangSettings>;
