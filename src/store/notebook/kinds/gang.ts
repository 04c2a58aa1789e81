import * as z from 'zod';
import { defineEntryKind } from '../contract.ts';
import { fire, runHead, seconds, sha256, share } from '../entry-parts.ts';

const px = z.int().min(0);

const placed = z.strictObject({
  id: z.string(),
  name: z.string(),
  file: z.string(),
  sha256,
  fire,
  bitsSha256: sha256,
  turned: z.boolean(),
  mirrored: z.boolean(),
  screen: z.string().nullable(),
  xPx: px,
  yPx: px,
  widthPx: px,
  heightPx: px,
});

const schema = z.strictObject({
  ...runHead,
  kind: z.literal('gang'),
  process: z.string(),
  dpi: z.number(),
  sheet: z
    .strictObject({
      widthMm: z.number(),
      heightMm: z.number(),
      marginMm: z.number(),
      gutterMm: z.number(),
      kerfMm: z.number(),
      sawAllowanceMm: z.number(),
      turn: z.enum(['auto', 'off']),
    })
    .describe('the sheet and what is kept free on it, as in the report'),
  asked: z.record(z.string(), z.unknown()).describe('what was asked for, as in the report'),
  askedSha256: sha256.describe('as in the report'),
  arrangement: z.strictObject({ method: z.enum(['rows', 'free']), compared: z.int() }),
  passes: z.int().nullable(),
  timeS: seconds.describe('all sheets, all passes, as estimated'),
  sheets: z
    .array(
      z.strictObject({
        etched: share,
        bitsSha256: sha256,
        placed: z.array(placed).describe('as in the report'),
      }),
    )
    .min(1),
  fire,
});

export type GangEntry = z.output<typeof schema>;

const placedOn = ({ sheets }: GangEntry) => sheets.flatMap(({ placed: plates }) => plates);

/** Plates on sheets. */
export const gang = defineEntryKind({
  kind: 'gang',
  called: 'a gang of plates',
  short: 'gang',
  unmade: 'refused',
  schema,
  brief: (entry) => ({
    process: entry.process,
    widthMm: entry.sheet.widthMm,
    heightMm: entry.sheet.heightMm,
    dpi: entry.dpi,
    screen: '',
    rulingLpi: null,
    settings: { ...entry.sheet, ...entry.asked },
    picture: null,
    press: null,
    curve: null,
    // of several sheets no one share says anything
    etched: entry.sheets.length === 1 ? entry.sheets[0]!.etched : null,
    predicted: null,
    passes: entry.passes,
    timeS: entry.timeS,
    bitsSha256: entry.sheets.length === 1 ? entry.sheets[0]!.bitsSha256 : null,
    words: placedOn(entry).flatMap(({ id, name }) => [id, name]),
  }),
  did: (entry) => ({
    process: entry.process,
    dpi: entry.dpi,
    ...entry.sheet,
    ...entry.asked,
    plates: placedOn(entry).map(({ name }) => name),
    platesSha256: placedOn(entry).map(({ bitsSha256 }) => bitsSha256.slice(0, 12)),
  }),
  came: (entry) => ({
    sheets: entry.sheets.length,
    // told as that of a plate is, where there is but one
    ...Object.fromEntries(
      entry.sheets.map(({ etched }, i, { length }) => [
        length === 1 ? 'etched' : `sheet ${i + 1}: etched`,
        etched,
      ]),
    ),
    passes: entry.passes,
    timeS: entry.timeS,
  }),
});
