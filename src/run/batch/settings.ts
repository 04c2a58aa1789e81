import * as z from 'zod';

const setting = (names?: string) => ({ group: 'list', bits: false, ...(names ? { names } : {}) });

/** What only a batch is told. */
export const batchSettings = z.strictObject({
  part: z
    .string()
    .min(3)
    .describe('make one share of the list only, such as 2/8: every eighth row from the second on')
    .meta(setting('n/of'))
    .optional(),
  resume: z
    .boolean()
    .describe('leave alone what lies there as asked, and make (and replace) the rest')
    .meta(setting())
    .default(false),
  from: z
    .string()
    .min(1)
    .describe(
      'folder below which pictures and masks may lie that list or job files name, besides the working folder and their own',
    )
    .meta(setting('folder'))
    .optional(),
  jsonl: z
    .boolean()
    .describe('a line of JSON for each plate on standard output, in the order of the list')
    .meta(setting())
    .default(false),
});

export type BatchSettings = z.output<typeof batchSettings>;
