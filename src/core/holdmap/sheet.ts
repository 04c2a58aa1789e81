import type { HoldPlace } from '../hold/contract.ts';
import { type PenPoint, type Stroke, textStrokes, textWidthMm } from '../layout/strokefont.ts';
import type { BoxMm } from '../outlines/contract.ts';

/** What one check found, for people. */
export interface Fault {
  /** A few words: what was looked for. */
  readonly name: string;
  /** What was found, with counts and limits. */
  readonly text: string;
  readonly found: boolean;
  /** The worst first; print-reading, from the plate's upper left. */
  readonly places: readonly HoldPlace[];
}

/** A box drawn in the way of one kind of fault. */
export interface Frame extends BoxMm {
  /** Which mark, from 0. */
  readonly mark: number;
}

/** Everything that is drawn, laid out; boxes in mm from the sheet's upper left. */
export interface Sheet {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly plate: BoxMm;
  /** Places of faults and, below, the samples beside the legend: hatched. */
  readonly frames: readonly Frame[];
  /** White labels with a coloured edge. */
  readonly tags: readonly Frame[];
  /** Letters, and the lines from labels that found no room beside their frames. */
  readonly lettering: readonly Stroke[];
  readonly penMm: number;
}

/** Sizes in mm at `scale` 1. */
const MARGIN = 7;
/** Around a map without words: room for a label. */
const BARE_MARGIN = 4.4;
/** Height of letters. */
export const LETTER_MM = 2.2;
const LEAD = 4.1;
const TAG_HEIGHT = 3.8;
const SAMPLE_WIDTH = 11;
const NARROWEST = 120;
/** A fault smaller than this is ringed, or nobody would see it. */
const SMALLEST = 3;
const AROUND = 0.5;

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/** The letter of a kind of fault, from 0 in the order they are given, those found only. */
export const letterOf = (mark: number): string => LETTERS[mark % LETTERS.length]!;

const overlap = (a: BoxMm, b: BoxMm): boolean =>
  a.xMm < b.xMm + b.widthMm &&
  b.xMm < a.xMm + a.widthMm &&
  a.yMm < b.yMm + b.heightMm &&
  b.yMm < a.yMm + a.heightMm;

/** Breaks text into lines no wider than `widthMm`; a word that is wider stands alone. */
export function wrapped(text: string, heightMm: number, widthMm: number): readonly string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && textWidthMm(`${last} ${word}`, heightMm) <= widthMm)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

/** The box of a place, widened until it can be seen. */
function framed({ xMm, yMm, widthMm, heightMm }: HoldPlace, plate: BoxMm, scale: number): BoxMm {
  const side = (mm: number): number => Math.max(SMALLEST, mm + 2 * AROUND) * scale;
  const [width, height] = [side(widthMm / scale), side(heightMm / scale)];
  return {
    xMm: plate.xMm + xMm + (widthMm - width) / 2,
    yMm: plate.yMm + yMm + (heightMm - height) / 2,
    widthMm: width,
    heightMm: height,
  };
}

/** How many labels away from its frame a label may find room. */
const FARTHEST = 6;

/** Where a label may stand beside its frame, the best first; the last of them away from it. */
function besides(frame: BoxMm, width: number, height: number): BoxMm[] {
  const left = frame.xMm;
  const right = frame.xMm + frame.widthMm - width;
  const above = frame.yMm - height;
  const below = frame.yMm + frame.heightMm;
  const steps = [0, 1, 2, 3];
  const away = Array.from({ length: FARTHEST }, (_, i) => i + 1);
  const at = (xMm: number, yMm: number): BoxMm => ({ xMm, yMm, widthMm: width, heightMm: height });
  return [
    at(left, above),
    at(right, above),
    at(left, below),
    at(right, below),
    at(frame.xMm + frame.widthMm, frame.yMm),
    at(left - width, frame.yMm),
    // inside, along the upper edge, where boxes lie over each other
    ...steps.map((step) => at(left + step * width, frame.yMm)),
    ...steps.map((step) => at(right - step * width, below - height)),
    ...away.flatMap((step) => [
      at(frame.xMm + frame.widthMm + step * width, frame.yMm),
      at(left - (1 + step) * width, frame.yMm),
      at(left, above - step * height),
      at(left, below + step * height),
    ]),
  ];
}

const clamped = (value: number, from: number, length: number): number =>
  Math.min(from + length, Math.max(from, value));

const nearestIn = ({ xMm, yMm, widthMm, heightMm }: BoxMm, to: PenPoint): PenPoint => ({
  xMm: clamped(to.xMm, xMm, widthMm),
  yMm: clamped(to.yMm, yMm, heightMm),
});

/** The line that joins a label to its frame; null where they touch. */
function leader(label: BoxMm, frame: BoxMm): Stroke | null {
  const middle = { xMm: frame.xMm + frame.widthMm / 2, yMm: frame.yMm + frame.heightMm / 2 };
  const from = nearestIn(label, middle);
  const to = nearestIn(frame, from);
  return Math.hypot(from.xMm - to.xMm, from.yMm - to.yMm) < 1e-6 ? null : [from, to];
}

/** What stands over the legend, and before the names of what was not found. */
export interface MapWords {
  readonly found: string;
  readonly none: string;
  readonly clear: string;
}

const HOLD_WORDS: MapWords = {
  found: 'What may not hold, as the print shows it; the worst places are numbered.',
  none: 'Nothing was found that may not hold.',
  clear: 'Looked for and not found',
};

/** Lays the map out: the plate, its faults with numbered labels and, unless it goes without words, a legend below. */
export function layOut(
  plateMm: { readonly widthMm: number; readonly heightMm: number },
  faults: readonly Fault[],
  scale: number,
  words = true,
  says: MapWords = HOLD_WORDS,
): Sheet {
  const s = (mm: number): number => mm * scale;
  const margin = s(words ? MARGIN : BARE_MARGIN);
  const widthMm = Math.max(plateMm.widthMm, words ? s(NARROWEST) : 0) + 2 * margin;
  const plate: BoxMm = { xMm: (widthMm - plateMm.widthMm) / 2, yMm: margin, ...plateMm };
  const room: BoxMm = { xMm: 0, yMm: 0, widthMm, heightMm: plateMm.heightMm + 2 * margin };
  const frames: Frame[] = [];
  const tags: Frame[] = [];
  const lettering: Stroke[] = [];
  const write = (text: string, xMm: number, yMm: number): void => {
    lettering.push(...textStrokes(text, { heightMm: s(LETTER_MM), xMm, yMm }));
  };
  const tagWidth = (label: string): number =>
    Math.max(s(TAG_HEIGHT), textWidthMm(label, s(LETTER_MM)) + s(1.2));
  const tag = (label: string, mark: number, box: BoxMm): void => {
    tags.push({ ...box, mark });
    const left = (box.widthMm - textWidthMm(label, s(LETTER_MM))) / 2;
    write(label, box.xMm + left, box.yMm + (box.heightMm + s(LETTER_MM)) / 2);
  };

  const found = faults.filter((fault) => fault.found);
  const all = found.flatMap(({ places }, mark) =>
    places.map((place, i) => {
      const label = `${letterOf(mark)}${i + 1}`;
      return { ...framed(place, plate, scale), mark, label };
    }),
  );
  // small ones are drawn last, so that no large one hides them; their labels find room first
  const bySize = [...all].sort((a, b) => b.widthMm * b.heightMm - a.widthMm * a.heightMm);
  for (const { label: _, ...frame } of bySize) frames.push(frame);
  for (const { label, ...frame } of bySize.toReversed()) {
    const choices = besides(frame, tagWidth(label), s(TAG_HEIGHT)).filter(
      ({ xMm, yMm, widthMm: width, heightMm: height }) =>
        xMm >= 0 && yMm >= 0 && xMm + width <= room.widthMm && yMm + height <= room.heightMm,
    );
    const free = choices.find((box) => !tags.some((other) => overlap(box, other)));
    const box = free ?? choices[0] ?? { ...frame, heightMm: s(TAG_HEIGHT), widthMm: tagWidth(label) };
    tag(label, frame.mark, box);
    const line = leader(box, frame);
    if (line) lettering.push(line);
  }
  const drawn = { widthMm, plate, frames, tags, lettering, penMm: s(LETTER_MM / 7.5) };
  if (!words) return { ...drawn, heightMm: room.heightMm };

  let y = room.heightMm;
  const left = s(MARGIN);
  const textLeft = left + s(SAMPLE_WIDTH + 2.5);
  const paragraph = (text: string, xMm: number): void => {
    for (const part of wrapped(text, s(LETTER_MM), widthMm - s(MARGIN) - xMm)) {
      write(part, xMm, y + s(LETTER_MM));
      y += s(LEAD);
    }
  };
  paragraph(found.length > 0 ? says.found : says.none, left);
  y += s(1.4);
  for (const [mark, { text, places }] of found.entries()) {
    const top = y;
    const letter = letterOf(mark);
    frames.push({ xMm: left, yMm: top - s(0.9), widthMm: s(SAMPLE_WIDTH), heightMm: s(5.4), mark });
    tag(letter, mark, {
      xMm: left + s((SAMPLE_WIDTH - TAG_HEIGHT) / 2),
      yMm: top - s(0.1),
      widthMm: s(TAG_HEIGHT),
      heightMm: s(TAG_HEIGHT),
    });
    y += s(0.7);
    paragraph(`${text}${places.length === 0 ? '; no one place to show' : ''}`, textLeft);
    y = Math.max(y, top + s(5)) + s(2);
  }
  const clear = faults.filter((fault) => !fault.found).map(({ name }) => name);
  if (clear.length > 0) paragraph(`${says.clear}: ${clear.join(', ')}.`, left);
  return { ...drawn, heightMm: y + s(MARGIN - 2) };
}
