import { expect, test } from 'vitest';
import { createBitmap, getBit } from '../../../src/core/bitmap.ts';
import { openHoldMap } from '../../../src/core/holdmap/holdmap.ts';
import { MARKS } from '../../../src/core/holdmap/marks.ts';
import { type Frame, layOut } from '../../../src/core/holdmap/sheet.ts';
import { drawStrokes } from '../../../src/core/layout/stroke-raster.ts';
import type { BoxMm } from '../../../src/core/outlines/contract.ts';
import { type Proof, rowsOf } from '../../../src/core/proof/proof.ts';
import { encodeSrgb } from '../../../src/core/srgb.ts';

const PPI = 110;
const PX_PER_MM = PPI / 25.4;
const [PLATE_WIDTH, PLATE_HEIGHT, PROOF_MARGIN] = [210, 130, 3];

/** A print whose every byte tells its place. */
const groundByte = (x: number, y: number, channel: number): number => (x * 5 + y * 3 + channel * 71) & 255;
const ground: Proof = {
  widthPx: PLATE_WIDTH + 2 * PROOF_MARGIN,
  heightPx: PLATE_HEIGHT + 2 * PROOF_MARGIN,
  ppi: PPI,
  marginPx: PROOF_MARGIN,
  write(fromRow, toRow, into, at, strideBytes) {
    for (let y = fromRow; y < toRow; y++)
      for (let i = 0; i < this.widthPx * 3; i++)
        into[at + (y - fromRow) * strideBytes + i] = groundByte(Math.floor(i / 3), y, i % 3);
  },
};

const COLOURS = MARKS.map(({ light }) => light.map((channel) => Math.round(255 * encodeSrgb(channel))));
const colourOf = ({ mark }: Frame): readonly number[] => COLOURS[mark % 8]!;
const clamped = (share: number): number => Math.min(1, Math.max(0, share));

/** One pixel of a map: everything laid over it, one after the other. */
function slowly(x: number, y: number, sheet: ReturnType<typeof layOut>, letters: number): number[] {
  const [left, top] = [sheet.plate.xMm, sheet.plate.yMm].map((mm) => Math.round(mm * PX_PER_MM));
  const [u, v] = [x - left!, y - top!];
  const onPlate = u >= 0 && u < PLATE_WIDTH && v >= 0 && v < PLATE_HEIGHT;
  let pixel = [0, 1, 2].map((channel) =>
    onPlate ? groundByte(u + PROOF_MARGIN, v + PROOF_MARGIN, channel) : 255,
  );
  const lay = (colour: readonly number[], share: number): void => {
    if (share > 0)
      pixel = pixel.map((byte, channel) => Math.floor(byte + share * (colour[channel]! - byte) + 0.5));
  };
  const [xMm, yMm] = [(x + 0.5) / PX_PER_MM, (y + 0.5) / PX_PER_MM];
  /** How far inside a box, in mm; far outside where that is beyond the rows and columns that are drawn about it. */
  const insideOf = (box: BoxMm, aroundMm: number): number => {
    const [u, v] = [xMm - box.xMm, yMm - box.yMm];
    const insideY = Math.min(v, box.heightMm - v);
    const from = Math.floor((box.xMm - aroundMm) * PX_PER_MM);
    const to = Math.ceil((box.xMm + box.widthMm + aroundMm) * PX_PER_MM);
    return insideY < -aroundMm || x < from || x >= to ? -99 : Math.min(u, box.widthMm - u, insideY);
  };
  const deeper = (inside: number, deep: number): number => clamped((inside - deep) * PX_PER_MM + 0.5);

  const around = insideOf(sheet.plate, 0.2);
  if (around < 0) lay([150, 150, 150], deeper(around, -0.2));
  for (const frame of sheet.frames) {
    const inside = insideOf(frame, 0.3);
    if (inside < -1) continue;
    const [outer, inner] = [deeper(inside, 0), deeper(inside, 0.45)];
    lay([255, 255, 255], 0.85 * deeper(inside, -0.3) * (1 - outer));
    const share = new Float64Array(1);
    const across = Float64Array.of(frame.xMm + (xMm - frame.xMm));
    MARKS[frame.mark % 8]!.hatch(across, frame.yMm + (yMm - frame.yMm), 1 / PX_PER_MM, 1, share);
    if (inside < 3.5) lay(colourOf(frame), inner * Math.max(0.1, share[0]!));
    lay(colourOf(frame), outer - inner);
  }
  for (const tag of sheet.tags) {
    lay(colourOf(tag), deeper(insideOf(tag, 0), 0));
    lay([255, 255, 255], deeper(insideOf(tag, 0), 0.45));
  }
  lay([0, 0, 0], letters / 9);
  return pixel;
}

test('every pixel of a map is what was laid over it, one after the other', () => {
  const faults = Array.from({ length: 8 }, (_, i) => ({
    name: `kind ${i}`,
    text: 'found',
    found: true,
    places: [
      { xMm: 5 * i, yMm: 3 * i, widthMm: 11 + i, heightMm: 9 },
      { xMm: 0, yMm: 0, widthMm: i > 5 ? 48 : 0.1, heightMm: i > 5 ? 30 : 0.1 },
    ],
  }));
  const map = openHoldMap(ground, faults, null);
  const size = { widthMm: PLATE_WIDTH / PX_PER_MM, heightMm: PLATE_HEIGHT / PX_PER_MM };
  const sheet = layOut(size, faults, 1);
  const letters = createBitmap(map.widthPx * 3, map.heightPx * 3);
  drawStrokes(letters, sheet.lettering, { pxPerMm: PX_PER_MM * 3, penMm: sheet.penMm });
  const rows = rowsOf(map, 0, map.heightPx);
  const different: string[] = [];
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) {
      let set = 0;
      for (let i = 0; i < 9; i++) set += getBit(letters, x * 3 + (i % 3), y * 3 + Math.floor(i / 3));
      const at = (y * map.widthPx + x) * 3;
      const [drawn, slow] = [[...rows.subarray(at, at + 3)].join(' '), slowly(x, y, sheet, set).join(' ')];
      if (drawn !== slow) different.push(`${x}, ${y}: ${drawn}, not ${slow}`);
    }
  expect(different).toEqual([]);
});
