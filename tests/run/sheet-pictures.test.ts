import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { createBitmap, fillRow } from '../../src/core/bitmap.ts';
import { openDrawings } from '../../src/run/looking/drawing.ts';
import { pixelsFor, sheetPictures } from '../../src/run/looking/sheet-pictures.ts';
import type { JudgeSetup } from '../../src/run/plate/setup.ts';
import type { GreySource } from '../../src/run/plate/tone-source.ts';
import type { Pool } from '../../src/run/pool.ts';

describe('pixels of a picture on the sheet', () => {
  test.each([
    [
      { widthPx: 23622, heightPx: 11811 },
      { widthPx: 1100, heightPx: 550 },
    ],
    [
      { widthPx: 300, heightPx: 4400 },
      { widthPx: 75, heightPx: 1100 },
    ],
    [
      { widthPx: 640, heightPx: 480 },
      { widthPx: 640, heightPx: 480 },
    ],
    [
      { widthPx: 40000, heightPx: 3 },
      { widthPx: 1100, heightPx: 1 },
    ],
  ])('%j', (from, to) => expect(pixelsFor(from).size).toEqual(to));
});

const PITCH = 25.4 / 254;

/** A plate of 60 × 30 mm at 254 dpi whose left third is etched. */
function setup(): JudgeSetup {
  const bitmap = createBitmap(600, 300);
  for (let y = 0; y < 300; y++) fillRow(bitmap.data, y * bitmap.strideBytes, 0, 200, 1);
  return { id: 7, bitmap, spot: { spotMm: 0.1, pitchMm: PITCH, beam: 'pulse' }, holdLimits: {} };
}

const source = {
  scratch: { widthPx: 90, heightPx: 60 },
  orientation: 6,
} as unknown as GreySource;

/** Answers from this thread; the picture is an even grey. */
function answering(of: JudgeSetup): Pool {
  const drawings = openDrawings(of);
  const run = async ({ do: what, args }: { do: string; args: unknown[] }): Promise<unknown> => {
    if (what === 'reduceRows')
      return drawings.reduceRows(...(args as Parameters<typeof drawings.reduceRows>));
    return { greys: new Uint8Array(60 * 90).fill(90), widthPx: 60, heightPx: 90 };
  };
  return { run } as unknown as Pool;
}

const pixels = async (dataUri: string) => {
  const { data, info } = await sharp(Buffer.from(dataUri.split(',')[1]!, 'base64'))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { data, info };
};

const made = (fire: 'dark' | 'light', plate: JudgeSetup | null = setup()) =>
  sheetPictures(
    plate,
    source,
    { proof: null, hold: null },
    { fire, plate: { widthMm: 60, heightMm: 30 } },
    answering(setup()),
  );

test.each(['dark', 'light'] as const)(
  'the plate is shown as the machine sees it, firing %s',
  async (fire) => {
    const { pictures } = await made(fire);
    const { data, info } = await pixels(pictures.plate!.dataUri);
    expect([info.width, info.height]).toEqual([600, 300]);
    const at = (x: number): number => data[150 * info.width + x]!;
    const [fired, left] = fire === 'dark' ? [0, 255] : [255, 0];
    expect(Math.abs(at(100) - fired)).toBeLessThan(4);
    expect(Math.abs(at(400) - left)).toBeLessThan(4);
    expect(pictures.plate).toMatchObject({ widthMm: 60, heightMm: 30 });
  },
);

test('the histogram counts squares of a millimetre: a third of them etched all over', async () => {
  const { coverageBins } = await made('dark');
  expect(coverageBins).toHaveLength(20);
  expect(coverageBins.reduce((a, b) => a + b)).toBe(60 * 30);
  expect(coverageBins.at(-1)).toBe(20 * 30);
  expect(coverageBins[0]).toBe(40 * 30);
});

test('the artwork stands upright and as large as it fits on the plate', async () => {
  const { pictures } = await made('dark');
  // turned by a quarter: 60 × 90 pixels on 60 × 30 mm
  expect(pictures.artwork!.heightMm).toBeCloseTo(30, 9);
  expect(pictures.artwork!.widthMm).toBeCloseTo(20, 9);
  const { info } = await pixels(pictures.artwork!.dataUri);
  expect([info.width, info.height]).toEqual([60, 90]);
});

test('of a plate of tone there is the artwork alone', async () => {
  const { pictures, coverageBins } = await made('dark', null);
  expect(pictures.artwork).not.toBeNull();
  expect([pictures.plate, pictures.proof, pictures.holdMap]).toEqual([null, null, null]);
  expect(coverageBins).toEqual([]);
});
