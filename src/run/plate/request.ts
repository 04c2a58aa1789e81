import type { Bitmap } from '../../core/bitmap.ts';
import type { Inset } from '../../core/plate.ts';
import type { Slot } from '../../io/atomic.ts';
import type { Picture } from '../../io/read/decode.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import type { MeasuredCurve } from '../../job/measured-curve.ts';
import type { Report } from '../../report/schema.ts';
import type { LookFile } from '../looking/files.ts';
import type { ProofRequest } from '../looking/proof.ts';
import type { OutlineFile } from '../outline/page.ts';
import type { Asked } from './asked.ts';
import type { OpenFile } from './plate-file.ts';

/** Where a plate goes: files in a folder, one file for a stream, or nowhere. */
export type Output =
  | {
      readonly to: 'files';
      readonly folder: string;
      /** Null when no report file is wanted. */
      readonly reportPath: string | null;
      readonly overwrite: boolean;
      /** Files that must never be written over: the picture, the job file. */
      readonly protect: readonly string[];
    }
  | {
      readonly to: 'stream';
      readonly folder: string;
      readonly reportPath: string | null;
      readonly overwrite: boolean;
      readonly protect: readonly string[];
    }
  | { readonly to: 'nowhere' };

/** A picture that is decoded or drawn already; whoever made it closes it. */
export interface DrawnPicture {
  /** What messages and reports call it. */
  readonly name: string;
  readonly picture: Pick<Picture, 'facts' | 'scratch'>;
  /** The same picture as ink, a bit for each pixel of the print, where it has but two levels; null where it has more. */
  readonly ink: Bitmap | null;
  /** The file that it came from, as the report tells of it. */
  readonly told: PictureFacts;
}

export interface PrepareRequest extends Asked {
  readonly input: { readonly path: string; readonly name: string } | DrawnPicture;
  readonly output: Output;
  readonly strict: boolean;
  /** For a plate made again: the bits that must come of it, and whether others are let through with a caution. */
  readonly expects?: { readonly bitsSha256: string; readonly anyway: boolean };
  /** The picture as its list names it, from the folder of that. */
  readonly listed?: string;
  /** For a plate of a set: its files, opened among those of the set, which puts all of them in place or none. */
  readonly within?: OpenPlate;
  /** For a plate of a set: what stands in its border. */
  readonly waste?: Waste;
  /** True where the bits are wanted afterwards. */
  readonly keepsBits?: boolean;
  /** What other plates have etched of the same block before, as this one lies: what is left after all must hold. */
  readonly etchedBefore?: Bitmap;
}

/** The border of a plate of a set. */
export interface Waste {
  /** Drawn into it, print-reading. */
  readonly insets: readonly Inset[];
  /** True where an earlier stage of the same block has cut the border: then this one leaves it alone. */
  readonly isCut: boolean;
}

/** A plate of a picture file. */
export interface FileRequest extends PrepareRequest {
  readonly input: { readonly path: string; readonly name: string };
}

export interface Prepared {
  readonly report: Report;
  /** True when a caution forbids the plate; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly written: readonly string[];
  /** The one plate to be streamed, in the scratch folder. */
  readonly streamPath: string | null;
  /** The measured curve that it went through; null for none. */
  readonly measured: MeasuredCurve | null;
  /** The finished plate as it prints, where its bits are kept; null for a plate of tone. */
  readonly printed: Omit<ProofRequest, 'settings'> | null;
}

/** The files of a plate, open under temporary names. */
export interface OpenPlate {
  readonly files: readonly OpenFile[];
  readonly clearing: readonly OpenFile[][];
  readonly outline: readonly OutlineFile[];
  readonly looks: readonly LookFile[];
  readonly strip: Slot | null;
  readonly report: Slot | null;
}
