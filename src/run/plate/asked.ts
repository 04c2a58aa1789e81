import { createHash } from 'node:crypto';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import type { Origins } from '../../job/layers.ts';
import type { Making } from '../../job/making.ts';
import type { Curves } from '../../job/measured-curve.ts';
import { type Looking, lookingSchema } from '../../job/proof-settings.ts';
import type { WantedJob } from '../../job/schema.ts';

/** What is asked of a plate. */
export interface Asked {
  readonly input: { readonly name: string };
  /** Stem of the plate's file names. */
  readonly name: string;
  readonly job: WantedJob;
  readonly origins: Origins;
  readonly making: Making;
  /** The measured curves that it may go through. */
  readonly curves: Curves;
  readonly formats: readonly FormatKind[];
  /** How the formats write the bits; neither changes them. */
  readonly stored: Pick<PlateHead, 'fire' | 'tiff'>;
  /** What is made to look at beside the plate, and how it looks. */
  readonly looking: Looking;
  /** The mask that an outline follows; null for the picture’s own transparency. */
  readonly outlineMask: { readonly path: string; readonly name: string } | null;
  /** SHA-256 of what is asked of the set that the plate belongs to; left out where it belongs to none. */
  readonly ofSet?: string;
}

/**
 * SHA-256 of all that is asked of a plate beside its picture: everything that its files and its report may hang on, and
 * nothing of folders, names, formats, threads or other plates. Values in another order are asked anew, since reports hold them in order.
 */
export function askedSha256(request: Asked): string {
  const { input, job, origins, making, curves, stored, outlineMask, ofSet } = request;
  // what comes as `looking` may be more than that: the settings of the whole run
  const looks = lookingSchema.keyof().options.map((key) => request.looking[key]);
  const asked = {
    input: input.name,
    job,
    origins,
    making,
    curves,
    stored,
    looks,
    mask: outlineMask?.name,
    ofSet,
  };
  return createHash('sha256').update(JSON.stringify(asked)).digest('hex');
}
