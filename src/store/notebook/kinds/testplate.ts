import * as z from 'zod';
import { defineEntryKind } from '../contract.ts';
import { fire, plateSize, runHead, seconds, sha256, share } from '../entry-parts.ts';

const schema = z.strictObject({
  ...runHead,
  kind: z.literal('testplate'),
  layoutId: z.string().describe('what is printed on it'),
  job: z.record(z.string(), z.unknown()).describe('every setting that decides the bits'),
  passLadder: z.boolean(),
  plate: plateSize,
  screen: z.looseObject({ kind: z.string() }).describe('of the tints'),
  press: z.string().nullable(),
  etched: share,
  timeS: seconds,
  plates: z
    .array(z.strictObject({ name: z.string(), bitsSha256: sha256 }))
    .min(1)
    .describe('the plate, then those of further passes'),
  fire,
});

export type TestPlateEntry = z.output<typeof schema>;

/** A plate that measures. */
export const testplate = defineEntryKind({
  kind: 'testplate',
  called: 'a test plate',
  short: 'test',
  unmade: 'refused',
  schema,
  brief: ({ plate: size, screen, job, press, etched, timeS, plates, layoutId }) => ({
    ...size,
    screen: screen.kind,
    rulingLpi: screen['rulingLpi'],
    settings: { ...job, ...screen },
    picture: null,
    press,
    curve: null,
    etched,
    predicted: null,
    passes: null,
    timeS,
    bitsSha256: plates[0]!.bitsSha256,
    words: [layoutId],
  }),
  did: ({ job, passLadder, press }) => ({ ...job, passLadder, press }),
  came: ({ layoutId, etched, timeS, plates }) => ({ layoutId, plates: plates.length, etched, timeS }),
});
