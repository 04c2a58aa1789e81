import { type Bitmap, countWord } from '../bitmap.ts';
import { findPieces } from '../hold/components.ts';
import { bitmapOf, emptyWords, hasPixel, moveRow, type Words, wordsOf } from './words.ts';

/** The eight ways that a plate may lie off, as steps of pixels; y goes down the print. */
const WAYS = [
  { name: 'right', dx: 1, dy: 0 },
  { name: 'down right', dx: 1, dy: 1 },
  { name: 'down', dx: 0, dy: 1 },
  { name: 'down left', dx: -1, dy: 1 },
  { name: 'left', dx: -1, dy: 0 },
  { name: 'up left', dx: -1, dy: -1 },
  { name: 'up', dx: 0, dy: -1 },
  { name: 'up right', dx: 1, dy: -1 },
] as const;

type Way = (typeof WAYS)[number];

/** Shifts that are tried, and at which things are told. */
export interface ToleranceWish {
  readonly pxPerMm: number;
  /** Shift at which areas are measured and mapped: what the register is trusted to keep, in mm. */
  readonly askedMm: number;
  /** Furthest shift that is tried, in mm. */
  readonly mostMm: number;
}

/** What becomes of a print when one plate lies off and all others lie right. */
export interface PlateTolerance {
  /** Furthest shift in any direction that bares no sliver, in mm; null where even the furthest tried does not. */
  readonly fitsMm: number | null;
  /** Where the first sliver shows, print-reading, and which way the plate then lies off. */
  readonly first: { readonly xPx: number; readonly yPx: number; readonly way: Way['name'] } | null;
  /** Bare slivers at the asked shift, in the worst direction. */
  readonly sliverMm2: number;
  readonly sliverWay: Way['name'] | null;
  /** The largest connected areas that it bares at the asked shift, all directions together, the largest first. */
  readonly worst: readonly SliverArea[];
  /** Inks over each other at the asked shift that were not so before, in the worst direction. */
  readonly overlapMm2: number;
}

/** What a set bares where one plate lies off. */
export interface RegisterTolerance {
  /** Of the most delicate plate, in mm; null where no plate bares anything. "Fits to ± 0.3 mm". */
  readonly fitsMm: number | null;
  /** Its number in printing order, from 0; null where no plate bares anything. */
  readonly plate: number | null;
  readonly plates: readonly PlateTolerance[];
  /** Every pixel that some plate bares in some direction at the asked shift, print-reading. */
  readonly map: Bitmap;
  /** The largest connected area of that map; null for an empty one. */
  readonly worst: SliverArea | null;
}

/** `right` and `bottom` are the first pixels beyond it. */
export interface SliverArea {
  readonly areaMm2: number;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Ink anywhere, and ink of two plates or more. */
function layersOf(plates: readonly Words[]): { any: Words; twice: Words } {
  const { widthPx, heightPx } = plates[0]!;
  const any = emptyWords(widthPx, heightPx);
  const twice = emptyWords(widthPx, heightPx);
  for (const { data } of plates)
    for (let i = 0; i < data.length; i++) {
      twice.data[i] = twice.data[i]! | (any.data[i]! & data[i]!);
      any.data[i] = any.data[i]! | data[i]!;
    }
  return { any, twice };
}

/** One plate among the others. */
interface Scene {
  readonly plate: Words;
  readonly any: Words;
  readonly twice: Words;
  /** What this plate bares. */
  readonly map: Words;
}

/** How many areas of a plate are told. */
const TOLD = 5;

/** What one direction has come to so far. */
interface Search {
  /** Steps of the asked shift. */
  readonly askedSteps: number;
  /** Fewest steps that bare something; where none has yet, one more than are tried. */
  first: number;
  xPx: number;
  yPx: number;
  slivers: number;
}

/** Going back so many steps at most, is bare paper the first thing met beyond the plate? Its edge only moves there. */
function endsOnPaper(
  { plate, any }: Scene,
  x: number,
  y: number,
  dx: number,
  dy: number,
  steps: number,
): boolean {
  for (let back = 1; back <= steps; back++)
    if (!hasPixel(plate, x - back * dx, y - back * dy)) return !hasPixel(any, x - back * dx, y - back * dy);
  return false;
}

/** Of a slanting shift both parts count, or corners that stick out over other ink would seem to bare something. */
const onlyMoves = (scene: Scene, { dx, dy }: Way, x: number, y: number, steps: number): boolean =>
  dx !== 0 && dy !== 0 && (endsOnPaper(scene, x, y, dx, 0, steps) || endsOnPaper(scene, x, y, 0, dy, steps));

/**
 * Follows the plate inwards from a pixel of its edge that turns its back on the shift and touches other ink. After m
 * steps of shift the first m pixels of the ray are uncovered; one is bare unless another plate has ink there, or a part
 * of this plate from further back has come over it.
 */
function follow(scene: Scene, way: Way, x: number, y: number, search: Search): void {
  const { plate, twice, map } = scene;
  const { dx, dy } = way;
  const { askedSteps } = search;
  for (let m = 1; m <= askedSteps || m < search.first; m++) {
    const px = x + (m - 1) * dx;
    const py = y + (m - 1) * dy;
    if (!hasPixel(plate, px, py)) return;
    if (hasPixel(twice, px, py)) continue;
    if (m < search.first && !onlyMoves(scene, way, px, py, m)) {
      search.first = m;
      search.xPx = px;
      search.yPx = py;
    }
    if (m > askedSteps || hasPixel(plate, px - askedSteps * dx, py - askedSteps * dy)) continue;
    if (onlyMoves(scene, way, px, py, askedSteps)) continue;
    search.slivers++;
    const at = py * map.rowWords + (px >> 5);
    map.data[at] = map.data[at]! | (0x80000000 >>> (px & 31));
  }
}

/** Finds every pixel of the plate whose neighbour against the shift is other ink alone, and follows it. */
function searchWay(scene: Scene, way: Way, search: Search): void {
  const { plate, any } = scene;
  const { heightPx, rowWords } = plate;
  const other = new Int32Array(rowWords);
  const moved = new Int32Array(rowWords);
  for (let y = Math.max(0, way.dy); y < heightPx + Math.min(0, way.dy); y++) {
    const from = (y - way.dy) * rowWords;
    for (let i = 0; i < rowWords; i++) other[i] = any.data[from + i]! & ~plate.data[from + i]!;
    moveRow(other, 0, rowWords, way.dx, moved);
    for (let i = 0; i < rowWords; i++) {
      let edge = plate.data[y * rowWords + i]! & moved[i]!;
      while (edge !== 0) {
        const bit = Math.clz32(edge);
        edge &= ~(0x80000000 >>> bit);
        follow(scene, way, 32 * i + bit, y, search);
      }
    }
  }
}

/** Pixels that the plate, so many steps off, prints on ink of others where it did not before. */
function overlapsOf({ plate, any }: Scene, { dx, dy }: Way, steps: number): number {
  const { heightPx, rowWords } = plate;
  const moved = new Int32Array(rowWords);
  let count = 0;
  for (let y = Math.max(0, dy * steps); y < heightPx + Math.min(0, dy * steps); y++) {
    moveRow(plate.data, (y - dy * steps) * rowWords, rowWords, dx * steps, moved);
    for (let i = 0, at = y * rowWords; i < rowWords; i++, at++)
      count += countWord(moved[i]! & any.data[at]! & ~plate.data[at]!);
  }
  return count;
}

function judgePlate(scene: Scene, { pxPerMm, askedMm, mostMm }: ToleranceWish): PlateTolerance {
  scene.map.data.fill(0);
  const mm2PerPx = 1 / (pxPerMm * pxPerMm);
  let first: PlateTolerance['first'] = null;
  let fitsMm = Number.POSITIVE_INFINITY;
  let sliverMm2 = 0;
  let sliverWay: Way['name'] | null = null;
  let overlapMm2 = 0;
  for (const way of WAYS) {
    const stepPx = Math.hypot(way.dx, way.dy);
    const askedSteps = Math.round((askedMm * pxPerMm) / stepPx);
    const mostSteps = Math.max(askedSteps, Math.floor((Math.min(mostMm, fitsMm) * pxPerMm) / stepPx));
    const search: Search = { askedSteps, first: mostSteps + 1, xPx: 0, yPx: 0, slivers: 0 };
    searchWay(scene, way, search);
    const stillMm = ((search.first - 1) * stepPx) / pxPerMm;
    if (search.first <= mostSteps && stillMm < fitsMm) {
      fitsMm = stillMm;
      first = { xPx: search.xPx, yPx: search.yPx, way: way.name };
    }
    if (search.slivers * mm2PerPx > sliverMm2) {
      sliverMm2 = search.slivers * mm2PerPx;
      sliverWay = way.name;
    }
    overlapMm2 = Math.max(overlapMm2, overlapsOf(scene, way, askedSteps) * mm2PerPx);
  }
  const worst = sliverMm2 > 0 ? largestAreas(scene.map, TOLD, pxPerMm) : [];
  return { fitsMm: first ? fitsMm : null, first, sliverMm2, sliverWay, worst, overlapMm2 };
}

/** The largest areas, of equal ones those further up. */
function largestAreas(
  { widthPx, heightPx, rowWords, data }: Words,
  most: number,
  pxPerMm: number,
): SliverArea[] {
  const largest: SliverArea[] = [];
  const finder = findPieces(widthPx, 8, ({ areaPx, left, top, right, bottom }) => {
    const areaMm2 = areaPx / (pxPerMm * pxPerMm);
    if (largest.length === most && areaMm2 <= largest[most - 1]!.areaMm2) return;
    const behind = largest.findIndex((other) => other.areaMm2 < areaMm2);
    largest.splice(behind < 0 ? largest.length : behind, 0, { areaMm2, left, top, right, bottom });
    if (largest.length > most) largest.pop();
  });
  for (let y = 0; y < heightPx; y++) finder.row(data, y * rowWords, y);
  finder.end();
  return largest;
}

/**
 * How far each plate of a set may lie off before paper shows between inks.
 *
 * `plates`: ink of each plate (1), print-reading, one canvas, in printing order. A plate is shifted alone, so shifts are
 * of one plate against another. A sliver is paper where there was ink, behind an edge that lay on or against other ink;
 * where a plate ends on bare paper its edge only moves, and nothing is bared: seen from the pixel back along the shift,
 * and of a slanting one along its rows and columns too. Measured in whole pixels, so a set that
 * fits to 0.3 mm may show its first sliver a pixel later.
 */
export function registerTolerance(plates: readonly Bitmap[], wish: ToleranceWish): RegisterTolerance {
  const words = plates.map(wordsOf);
  const { any, twice } = layersOf(words);
  const all = emptyWords(any.widthPx, any.heightPx);
  const map = emptyWords(any.widthPx, any.heightPx);
  const judged = words.map((plate) => {
    const told = judgePlate({ plate, any, twice, map }, wish);
    for (let i = 0; i < map.data.length; i++) all.data[i] = all.data[i]! | map.data[i]!;
    return told;
  });
  let worst: number | null = null;
  for (const [index, { fitsMm }] of judged.entries())
    if (fitsMm !== null && (worst === null || fitsMm < judged[worst]!.fitsMm!)) worst = index;
  return {
    fitsMm: worst === null ? null : judged[worst]!.fitsMm,
    plate: worst,
    plates: judged,
    map: bitmapOf(all),
    worst: largestAreas(all, 1, wish.pxPerMm)[0] ?? null,
  };
}
