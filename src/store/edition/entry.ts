import * as z from 'zod';
import type { LineRules } from '../read-line.ts';

const LEDGER_VERSION = 1;

const text = z.string().min(1).max(1000);
const count = z.int().min(0).max(1_000_000);
const some = z.int().min(1).max(1_000_000);
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const word = z
  .string()
  .regex(/^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,63}$/u, 'letters, digits, spaces, dots and dashes');

/**
 * Impressions that carry a number or a mark, by how they are marked: of the edition, artist's proofs, printer's proofs,
 * hors commerce.
 */
export const NUMBERED = ['edition', 'AP', 'PP', 'HC'] as const;
export type Numbered = (typeof NUMBERED)[number];

/** Impressions that carry none: before the accepted one, the accepted one, for the shop's archive, after cancelling. */
export const PROOFS = ['trial', 'working', 'state', 'BAT', 'archive', 'cancellation'] as const;
export type Proof = (typeof PROOFS)[number];

const head = {
  version: z.literal(LEDGER_VERSION),
  id: z.string().regex(/^e[0-9a-f]{11}$/),
  at: z.iso.datetime(),
};

const numbers = z.array(some).min(1).max(10_000);

const kinds = {
  begin: z.strictObject({
    ...head,
    kind: z.literal('begin'),
    title: text,
    artist: text,
    year: z.int().min(1000).max(9999),
    medium: text,
    paper: text.optional(),
    workshop: text.optional(),
    /** Impressions that are to be numbered and marked. */
    sizes: z.strictObject({ edition: some, AP: count, PP: count, HC: count }),
    /** Sheets of paper begun with. */
    sheets: some,
    lossPercent: z.number().min(0).max(99).optional(),
    pulls: z.int().min(1).max(100).optional(),
    otherEditions: text.optional(),
    posthumous: z.boolean().default(false),
  }),
  plate: z.strictObject({
    ...head,
    kind: z.literal('plate'),
    plate: word,
    bitsSha256: sha256,
    process: z.string(),
    widthMm: z.number().positive(),
    heightMm: z.number().positive(),
    dpi: z.number().positive(),
    material: z.string().nullable(),
    duplicateOf: word.optional(),
  }),
  state: z.strictObject({
    ...head,
    kind: z.literal('state'),
    plate: word,
    bitsSha256: sha256.optional(),
    words: text,
  }),
  sheets: z.strictObject({ ...head, kind: z.literal('sheets'), count: some, words: text.optional() }),
  pull: z.strictObject({
    ...head,
    kind: z.literal('pull'),
    plate: word,
    count: some,
    spoiled: count.default(0),
    words: text.optional(),
  }),
  proof: z.strictObject({
    ...head,
    kind: z.literal('proof'),
    as: z.enum(PROOFS),
    count: some.default(1),
    words: text.optional(),
    by: text.optional(),
  }),
  number: z.strictObject({
    ...head,
    kind: z.literal('number'),
    as: z.enum(NUMBERED),
    numbers,
    from: z.array(word).default([]),
  }),
  spoil: z.strictObject({
    ...head,
    kind: z.literal('spoil'),
    count: some,
    as: z.enum(NUMBERED).optional(),
    numbers: numbers.optional(),
    words: text.optional(),
  }),
  correct: z.strictObject({ ...head, kind: z.literal('correct'), about: head.id, words: text }),
  close: z.strictObject({ ...head, kind: z.literal('close'), words: text.optional() }),
  cancel: z.strictObject({ ...head, kind: z.literal('cancel'), plate: word, words: text }),
};

const entrySchema = z.discriminatedUnion('kind', [
  kinds.begin,
  kinds.plate,
  kinds.state,
  kinds.sheets,
  kinds.pull,
  kinds.proof,
  kinds.number,
  kinds.spoil,
  kinds.correct,
  kinds.close,
  kinds.cancel,
]);

export const ledgerEntrySchema = entrySchema;

/** One line of an edition's ledger. */
export type LedgerEntry = z.output<typeof entrySchema>;
type Input = z.input<typeof entrySchema>;
type Of<Kind extends LedgerEntry['kind']> = Extract<LedgerEntry, { kind: Kind }>;
export type LedgerOf<Kind extends LedgerEntry['kind']> = Of<Kind>;

type Headless<Entry> = Entry extends unknown ? Omit<Entry, 'version' | 'id' | 'at'> : never;
/** An entry that is still to get its id and its time. */
export type LedgerDraft = Headless<Input>;

/** How the lines of a ledger are read; no version before the first. */
export const ledgerLines: LineRules<LedgerEntry> = {
  schema: entrySchema,
  version: LEDGER_VERSION,
  migrations: new Map(),
};

/** Gives a draft its version, id and time; throws a ZodError where it is not as entries must be. */
export const ledgerEntry = (draft: LedgerDraft, id: string, at: string): LedgerEntry =>
  entrySchema.parse({ version: LEDGER_VERSION, id, at, ...draft });
