import type { AnyEntryKind } from '../contract.ts';
import { calibration } from './calibration.ts';
import { gang } from './gang.ts';
import { plate } from './plate.ts';
import { strip } from './strip.ts';
import { testplate } from './testplate.ts';

/** Every kind of run that leaves entries. */
export const entryKinds = { plate, testplate, gang, calibration, strip } as const;

export type EntryKindName = keyof typeof entryKinds;

/** What an entry's kind declares. */
export const kindOf = ({ kind }: { readonly kind: EntryKindName }): AnyEntryKind =>
  // the registry's entries have schemas of their own; the entry was read by its own
  entryKinds[kind] as unknown as AnyEntryKind;
