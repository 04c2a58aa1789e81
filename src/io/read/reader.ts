import type { Orientation } from '../../core/geometry-orientation.ts';
import type { Samples } from '../scratch.ts';
import type { ByteSource } from './bytes.ts';
import type { PictureCaution, PictureFormat } from './facts.ts';
import type { Ppi } from './headers/resolution.ts';
import type { PictureInput } from './input.ts';

/** How a picture is to be read. */
export interface ReadOptions {
  /** Page or frame, first = 1. */
  readonly page?: number;
  /** Pictures with more pixels are refused before they are decoded. */
  readonly maxPixels: number;
  /** Folder for scratch files; nothing is left in it. */
  readonly scratchDir: string;
  /** True where the colours are wanted and not their grey; the samples then have three bands or four unless the picture is grey. */
  readonly colour?: boolean;
}

/** What a reader finds in a picture's header. Sizes and resolution are those of the stored, not the upright picture. */
export interface PictureHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly ppi: Ppi | null;
  readonly orientation: Orientation;
  readonly alpha: boolean;
  readonly profile: string | null;
  readonly depthBits: 8 | 16;
  readonly frames: number;
  /** The page or frame that is used, first = 1. */
  readonly frame: number;
  /** Grey codes of full ink and bare paper, in `depthBits`. */
  readonly blackCode: number;
  readonly whiteCode: number;
  /** True for a drawing without pixels of its own; the size is then in CSS px. */
  readonly drawing: boolean;
  readonly cautions: readonly PictureCaution[];
}

/** Sample code → sRGB code in 16 bit; as long as there are sample codes (256 or 65,536). */
export type CodeCurve = Uint16Array;

/** Pixels as decoded, not yet made grey where there is more than one band or a curve. */
export interface Decoded {
  readonly samples: Samples;
  readonly curve: CodeCurve | null;
}

/** Where and how large to decode. */
export interface DecodeWork {
  /** A folder of our own, deleted afterwards. */
  readonly folder: string;
  /** The size to draw a drawing at; pictures have their own, which is the same. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Stops work that can be stopped. */
  readonly signal?: AbortSignal | undefined;
}

/** A picture whose header has been read. */
export interface OpenedPicture {
  readonly header: PictureHeader;
  /** Bytes a pixel that `decode` puts into the scratch folder. */
  readonly bytesPerPixel: number;
  decode(work: DecodeWork): Promise<Decoded>;
  /** Writes the transparency alone, 0 = clear; absent where there is none, or none that can be had. */
  decodeAlpha?(work: DecodeWork): Promise<Samples>;
}

/** Reads one or more kinds of picture file. */
export type PictureReader = (
  input: PictureInput,
  bytes: ByteSource,
  format: PictureFormat,
  options: ReadOptions,
) => Promise<OpenedPicture>;
