import * as z from 'zod';
import { bitsOf, labelRange } from './bits.ts';
import { defineSeparation, type SetFinding, type SetInk } from './contract.ts';
import { lightnessOf } from './lab.ts';
import { BARE, KEEP, SPREAD, trap } from './traps.ts';

/** Number of the ink that draws the key: the one named, else the last to be printed; −1 for none. */
function keyOf(inks: readonly SetInk[], named: string | undefined): number {
  if (named === undefined) return inks.length - 1;
  return named === 'none' ? -1 : inks.findIndex(({ name }) => name === named);
}

/**
 * Whether ink `other` spreads where ink `own` is wanted (numbers from 0). Under an opaque ink what was printed before it
 * is hidden; a transparent one hides nothing, but a lighter ink does not show in a darker.
 */
function spreads(inks: readonly SetInk[], own: number, other: number): boolean {
  const later = inks[Math.max(own, other)]!;
  if (later.opaque) return other < own;
  return lightnessOf(inks[other]!.light) > lightnessOf(inks[own]!.light);
}

/** Table of the trap rules; label n is ink n − 1. A white line goes between colours, never along the key. */
function trapTable(inks: readonly SetInk[], key: number, whiteLine: boolean): Uint8Array {
  const labels = inks.length + 1;
  const table = new Uint8Array(labels * labels).fill(KEEP);
  for (let own = 0; own < inks.length; own++)
    for (let other = 0; other < inks.length; other++) {
      if (own === other) continue;
      const apart = whiteLine && own !== key && other !== key;
      table[(own + 1) * labels + other + 1] = apart ? BARE : spreads(inks, own, other) ? SPREAD : KEEP;
    }
  return table;
}

/** Under this share of the width asked for, most of a border lies along something narrow. */
const NARROW = 0.75;

const trapCode = (meanPx: number, askedPx: number): string =>
  meanPx < NARROW * askedPx ? 'trap-narrowed' : 'trapped';

/** A key block and a block for each colour: what is wanted of each ink, with traps so that a little slip shows no paper. */
export const key = defineSeparation({
  kind: 'key',
  summary: 'a key that draws, and a plate for each colour, trapped under it and under each other',
  params: z.strictObject({
    trapMm: z
      .number()
      .min(0)
      .max(3)
      .default(0.3)
      .describe(
        'how far a colour spreads under the key and under the colour beside it: to the middle of either at most, and farther only where three colours meet',
      )
      .meta({ unit: 'mm' }),
    whiteLineMm: z
      .number()
      .min(0)
      .max(10)
      .default(0)
      .describe('leave paper between colours instead, so wide; the key is trapped all the same')
      .meta({ unit: 'mm' }),
    keyInk: z
      .string()
      .min(1)
      .max(60)
      .describe('ink that draws the key, or none')
      .meta({ unlessGiven: 'the last to be printed', names: 'ink' })
      .optional(),
  }),
  inks: { least: 1, most: 8, found: 3 },
  oneBlock: false,
  unfit: ({ keyInk }, inks) =>
    keyInk === undefined || keyInk === 'none' || inks.includes(keyInk)
      ? null
      : {
          message: `--key-ink: there is no ink "${keyInk}"`,
          hint: `Give one of ${inks.join(', ')}, or none.`,
        },
  way: ({ trapMm, whiteLineMm, keyInk }) => ({
    draws: 'areas',
    by: 'colours',
    smoothMm: 0,
    lines: (inks) => [keyOf(inks, keyInk)].filter((ink) => ink >= 0),
    shape({ labels }, { inks, pxPerMm }) {
      const plates = inks.map((_, ink) => bitsOf(labels, labelRange(ink + 1, ink + 1)));
      const spreadPx = Math.round(trapMm * pxPerMm);
      const barePx = Math.round((whiteLineMm * pxPerMm) / 2);
      const table = trapTable(inks, keyOf(inks, keyInk), barePx > 0);
      const tally = trap(labels, { labels: inks.length + 1, table, spreadPx, barePx }, plates);
      const findings = inks.flatMap((_, plate): SetFinding[] => {
        const borderPx = tally.borderPx[plate]!;
        const areaPx = tally.spreadPx[plate]!;
        return [
          ...(borderPx > 0
            ? [{ code: trapCode(areaPx / borderPx, spreadPx), plate, count: borderPx, areaPx }]
            : []),
          ...(tally.barePx[plate]! > 0
            ? [{ code: 'white-line', plate, count: 1, areaPx: tally.barePx[plate]! }]
            : []),
        ];
      });
      return { plates, findings };
    },
  }),
});
