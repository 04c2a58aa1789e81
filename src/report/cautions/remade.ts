import type { Caution } from '../schema.ts';
import { caution } from './index.ts';

/** Told where a plate that was to be made again came out otherwise; it stops the plate unless it is wanted anyway. */
export function remadeCautions(
  { bitsSha256, anyway }: { readonly bitsSha256: string; readonly anyway: boolean },
  made: string,
): Caution[] {
  if (made === bitsSha256) return [];
  return [
    caution({
      code: 'other-bits',
      severity: anyway ? 'warn' : 'stop',
      text: `This is not the plate of the record: its bits were ${bitsSha256.slice(0, 12)}…, and are ${made.slice(0, 12)}… now`,
      cure: anyway
        ? 'Treat it as a new plate: proof it before it joins an edition.'
        : 'See what differs; --anyway makes it all the same.',
    }),
  ];
}
