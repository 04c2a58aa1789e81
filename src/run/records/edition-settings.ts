import * as z from 'zod';

const meta = (group: string, more: { readonly names?: string; readonly unit?: string } = {}) => ({
  group,
  bits: false,
  ...more,
});
const text = () => z.string().min(1).max(1000);
const count = () => z.int().min(0).max(1_000_000);

/** What an edition is begun and its entries are made with. */
export const editionSettings = z.strictObject({
  ledger: text()
    .describe('the ledger; the only .edition.jsonl of this folder unless given')
    .meta(meta('ledger', { names: 'file' }))
    .optional(),
  artist: text()
    .describe('begin: who made it')
    .meta(meta('the print', { names: 'name' }))
    .optional(),
  year: z.int().min(1000).max(9999).describe('begin: year of the print').meta(meta('the print')).optional(),
  medium: text()
    .describe('begin: such as "relief and intaglio"')
    .meta(meta('the print', { names: 'words' }))
    .default('relief'),
  paper: text()
    .describe('begin: the paper')
    .meta(meta('the print', { names: 'words' }))
    .optional(),
  printedAt: text()
    .describe('begin: workshop that prints it')
    .meta(meta('the print', { names: 'name' }))
    .optional(),
  otherEditions: text()
    .describe('begin: other editions from these plates')
    .meta(meta('the print', { names: 'words' }))
    .optional(),
  posthumous: z
    .boolean()
    .describe('begin: printed after the artist’s death')
    .meta(meta('the print'))
    .default(false),
  edition: count().describe('begin, plan: numbered impressions').meta(meta('how many')).optional(),
  ap: count().describe('begin, plan: artist’s proofs').meta(meta('how many')).default(0),
  pp: count().describe('begin, plan: printer’s proofs').meta(meta('how many')).default(0),
  hc: count().describe('begin, plan: hors commerce').meta(meta('how many')).default(0),
  sheets: count()
    .describe('begin: sheets started with; planned from loss and pulls unless given')
    .meta(meta('how many'))
    .optional(),
  lossPercent: z
    .number()
    .min(0)
    .max(99)
    .describe('begin, plan: share of sheets that one pull spoils')
    .meta(meta('how many', { unit: 'percent' }))
    .default(5),
  pulls: z
    .int()
    .min(1)
    .max(100)
    .describe('begin, plan: pulls that a sheet goes through')
    .meta(meta('how many'))
    .default(1),
  extra: count()
    .describe('begin, plan: further good impressions, such as BAT and archive copy')
    .meta(meta('how many'))
    .default(2),
  report: text()
    .describe('plate, state: report of the plate')
    .meta(meta('plates', { names: 'file' }))
    .optional(),
  duplicateOf: text()
    .describe('plate: the plate it has the same bits as')
    .meta(meta('plates', { names: 'plate' }))
    .optional(),
  from: z
    .array(text())
    .describe('number: the plates that printed them, joined by commas')
    .meta(meta('plates'))
    .default([]),
  count: count().describe('proof: how many').meta(meta('entries')).default(1),
  spoiled: count().describe('pull: how many of them are spoiled').meta(meta('entries')).default(0),
  by: text()
    .describe('proof: who accepted the BAT')
    .meta(meta('entries', { names: 'name' }))
    .optional(),
});

export type EditionSettings = z.output<typeof editionSettings>;
