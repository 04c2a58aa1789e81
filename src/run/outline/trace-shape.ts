import { closeSync } from 'node:fs';
import { EtchError } from '../../core/errors.ts';
import { MM_PER_INCH, type PlateLayout } from '../../core/geometry.ts';
import type { Loop } from '../../core/outlines/contract.ts';
import type { Traced } from '../../core/outlines/paths.ts';
import { straightened } from '../../core/outlines/straighten.ts';
import { trace } from '../../core/outlines/trace.ts';
import { decodeAlpha } from '../../io/read/alpha.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import type { Inspection } from '../../io/read/inspect.ts';
import { openPicture } from '../../io/read/open.ts';
import type { ReadOptions } from '../../io/read/reader.ts';
import { resizedSource } from '../plate/resized-source.ts';
import type { GreySource } from '../plate/tone-source.ts';

/** What a shape may be traced from. */
export interface ShapeSource {
  /** Null for a picture that is decoded already: it has no transparency to follow. */
  readonly inspection: Inspection | null;
  readonly reading: ReadOptions;
  readonly facts: PictureFacts;
  /** How the upright, turned picture lies in its file. */
  readonly source: GreySource;
  readonly layout: PlateLayout;
  readonly dpi: number;
  readonly toleranceMm: number;
  /** A file whose dark part is the shape; null for the picture's own transparency. */
  readonly mask: { readonly path: string; readonly name: string } | null;
}

export interface TracedShape extends Traced {
  readonly maskSha256: string | null;
}

/** Largest grid that is traced: 16 MB, and about a second. */
const MOST_CELLS = 16e6;
/** A mask of another proportion than its picture would be bent. */
const MOST_STRETCH = 0.01;

const cannot = (code: string, message: string, hint: string): EtchError =>
  new EtchError('usage', code, `Tracing the outline: ${message}`, hint);

interface Shape {
  /** 0…255 inside, row by row. */
  readonly values: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly maskSha256: string | null;
}

/** The grid that a picture of this size is traced on: as fine as the tolerance, no finer than its pixels. */
function gridFor({ layout, dpi, toleranceMm }: ShapeSource, widthPx: number, heightPx: number) {
  const { x, y } = layout;
  const widthMm = ((x.sourcePx / x.stepPx) * MM_PER_INCH) / dpi;
  const heightMm = ((y.sourcePx / y.stepPx) * MM_PER_INCH) / dpi;
  const cellMm = Math.max(toleranceMm, Math.sqrt((widthMm * heightMm) / MOST_CELLS));
  return {
    widthPx: Math.max(1, Math.min(widthPx, Math.ceil(widthMm / cellMm))),
    heightPx: Math.max(1, Math.min(heightPx, Math.ceil(heightMm / cellMm))),
  };
}

async function alphaShape(shape: ShapeSource, signal: AbortSignal): Promise<Shape> {
  const { inspection, facts } = shape;
  const scratch = facts.alpha && inspection ? await decodeAlpha(inspection, facts, signal) : null;
  if (!scratch)
    throw cannot(
      'no-shape',
      `${shape.facts.name} has no transparency to follow`,
      'Give a mask whose dark part is the shape, with --outline-mask, or another --outline.',
    );
  try {
    const size = gridFor(shape, shape.layout.x.sourcePx, shape.layout.y.sourcePx);
    return { ...size, values: resizedSource({ ...shape.source, scratch }, size), maskSha256: null };
  } finally {
    closeSync(scratch.fd);
  }
}

async function maskShape(
  shape: ShapeSource,
  { path, name }: NonNullable<ShapeSource['mask']>,
  options: ReadOptions,
  signal: AbortSignal,
): Promise<Shape> {
  const { maxPixels, scratchDir } = options;
  const mask = await openPicture({ path, name }, { maxPixels, scratchDir }, signal);
  try {
    const { uprightWidthPx, uprightHeightPx, orientation } = mask.facts;
    const { x, y } = shape.layout;
    const stretch = (uprightWidthPx / uprightHeightPx) * (y.sourcePx / x.sourcePx) - 1;
    if (Math.abs(stretch) > MOST_STRETCH)
      throw cannot(
        'mask-of-another-shape',
        `the mask ${name} is ${uprightWidthPx} × ${uprightHeightPx} px, and the picture, upright and turned, ${x.sourcePx} × ${y.sourcePx}`,
        'Draw the mask on a copy of the picture, so that both have the same proportion.',
      );
    const size = gridFor(shape, uprightWidthPx, uprightHeightPx);
    const source = { scratch: mask.scratch, codes: mask.facts, orientation };
    // what is dark is the shape
    const values = resizedSource(source, size).map((grey) => 255 - grey);
    return { ...size, values, maskSha256: mask.facts.sha256 };
  } finally {
    mask.close();
  }
}

/** Traces a shape where it lies on the plate, print-reading. EtchError `no-shape`, `mask-of-another-shape`, `empty-shape`. */
export async function traceShape(shape: ShapeSource, signal: AbortSignal): Promise<TracedShape> {
  const { layout, dpi, mask, reading } = shape;
  const grid = mask ? await maskShape(shape, mask, reading, signal) : await alphaShape(shape, signal);
  const { x, y, box } = layout;
  const pitchMm = MM_PER_INCH / dpi;
  // from cells of the grid to the picture, and from there to the plate
  const scaleX = (x.sourcePx / grid.widthPx / x.stepPx) * pitchMm;
  const scaleY = (y.sourcePx / grid.heightPx / y.stepPx) * pitchMm;
  const leftMm = (box.xPx - x.startPx / x.stepPx) * pitchMm;
  const topMm = (box.yPx - y.startPx / y.stepPx) * pitchMm;
  const stepMm = Math.max(scaleX, scaleY);
  const loops: Loop[] = trace(grid).map((loop) =>
    straightened(
      loop.map((point) => ({ x: leftMm + point.x * scaleX, y: topMm + point.y * scaleY })),
      stepMm,
    ),
  );
  if (loops.length === 0)
    throw cannot(
      'empty-shape',
      mask ? `nothing in ${mask.name} is dark` : `${shape.facts.name} is transparent all over`,
      'Look whether it is the right file; in a mask, dark is the shape.',
    );
  return {
    loops,
    stepMm,
    within: {
      xMm: box.xPx * pitchMm,
      yMm: box.yPx * pitchMm,
      widthMm: box.widthPx * pitchMm,
      heightMm: box.heightPx * pitchMm,
    },
    maskSha256: grid.maskSha256,
  };
}
