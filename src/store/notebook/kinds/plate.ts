import * as z from 'zod';
import { defineEntryKind } from '../contract.ts';
import { fire, plateSize, runHead, seconds, sha256, share, text } from '../entry-parts.ts';

const schema = z.strictObject({
  ...runHead,
  kind: z.literal('plate'),
  input: z.strictObject({
    name: z.string(),
    sha256,
    path: text.nullable().describe('where it lay, from the folder of the notebook'),
  }),
  job: z.record(z.string(), z.unknown()).describe('every setting that decides the bits'),
  plate: plateSize,
  screen: z.looseObject({ kind: z.string() }).describe('the screen with its settings as achieved'),
  press: z.string().nullable(),
  curve: z
    .strictObject({
      name: z.string(),
      sha256,
      measuredOn: z.string(),
      ageDays: z.int().describe('how old it was on the day of the run'),
      knots: z.array(z.tuple([z.number(), z.number()])),
    })
    .nullable(),
  coverage: z.strictObject({ etched: share, inked: share, predicted: share.nullable() }),
  passes: z.int().nullable(),
  timeS: seconds.describe('all passes together, as estimated'),
  slotS: seconds,
  hold: z
    .array(
      z.strictObject({
        code: z.string(),
        limitMm: z.number().nullable(),
        worstMm: z.number().nullable(),
        count: z.int(),
        areaMm2: z.number(),
      }),
    )
    .nullable(),
  fire,
  bitsSha256: sha256,
});

export type PlateEntry = z.output<typeof schema>;

/** A plate of a picture. */
export const plate = defineEntryKind({
  kind: 'plate',
  called: 'a plate',
  short: 'plate',
  unmade: 'refused',
  schema,
  brief: ({ plate: size, screen, job, input, press, curve, coverage, passes, timeS, bitsSha256 }) => ({
    ...size,
    screen: screen.kind,
    rulingLpi: screen['rulingLpi'],
    settings: { ...job, ...screen },
    picture: input.name,
    press,
    curve: curve?.name ?? null,
    etched: coverage.etched,
    predicted: coverage.predicted,
    passes,
    timeS,
    bitsSha256,
    words: [],
  }),
  did: ({ input, job, press, curve }) => ({
    picture: input.name,
    pictureSha256: input.sha256,
    ...job,
    press,
    curve: curve?.name,
    curveSha256: curve?.sha256,
  }),
  came: ({ coverage, passes, timeS, hold }) => ({
    etched: coverage.etched,
    predicted: coverage.predicted,
    inked: coverage.inked,
    passes,
    timeS,
    ...Object.fromEntries(
      (hold ?? []).flatMap(({ code, count, worstMm }) => [
        [`${code}: places`, count],
        [`${code}: worst mm`, worstMm],
      ]),
    ),
  }),
});
