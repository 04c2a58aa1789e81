import type { Orientation } from '../../core/geometry-orientation.ts';

/** Kinds of picture file that can be read, known by their content. */
export type PictureFormat = 'jpeg' | 'png' | 'tiff' | 'webp' | 'avif' | 'gif' | 'svg' | 'bmp' | 'pnm';

/** Something about the picture the user should know; `cure` says what to do about it. */
export interface PictureCaution {
  readonly code: string;
  readonly severity: 'note' | 'warn';
  readonly text: string;
  readonly cure: string;
  readonly value?: number | string;
}

/** What is known of a picture file; nothing in here depends on where it lies. */
export interface PictureFacts {
  readonly name: string;
  /** Of the file's bytes, lower-case hexadecimal. */
  readonly sha256: string;
  readonly format: PictureFormat;
  /** Size as stored, before the orientation tag is followed. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Size as seen. */
  readonly uprightWidthPx: number;
  readonly uprightHeightPx: number;
  /** Pixels an inch as seen; null where the file states no absolute size. */
  readonly ppiX: number | null;
  readonly ppiY: number | null;
  /** The size the file asks to be seen at, upright; null where it states none. */
  readonly sizeMm: { readonly widthMm: number; readonly heightMm: number } | null;
  readonly orientation: Orientation;
  readonly alpha: boolean;
  /** Description of the embedded colour profile; null without one. */
  readonly profile: string | null;
  /** Bits a sample of the grey source: 16 only where the file holds more than 8. */
  readonly depthBits: 8 | 16;
  /** Pages or frames in the file. */
  readonly frames: number;
  /** The page or frame that is used, first = 1. */
  readonly frame: number;
  /** Grey codes of full ink and of bare paper, in `depthBits`: not 0 and full only for CMYK. */
  readonly blackCode: number;
  readonly whiteCode: number;
  /** True for a drawing (SVG): it can be decoded at any size; until then its size is in CSS px, 96 an inch. */
  readonly drawing: boolean;
  readonly cautions: readonly PictureCaution[];
}
