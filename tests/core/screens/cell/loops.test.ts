import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rowStream } from '../../../../src/core/rng.ts';
import type { CellLoops } from '../../../../src/core/screens/cell/contract.ts';
import {
  ETCHED,
  FULL,
  KEPT,
  openCellDiffusion,
  rulesFor,
} from '../../../../src/core/screens/cell/diffuse.ts';
import { openPlainLoops } from '../../../../src/core/screens/cell/loops.ts';
import { openVectorLoops } from '../../../../src/core/screens/cell/vector.ts';

const WAITING = 2;
const CELL_ROWS = 6;
const TEXTURE_CELLS = 16;

const given = fc.record({
  widthPx: fc.oneof(fc.integer({ min: 1, max: 150 }), fc.constantFrom(7, 8, 9, 16, 32, 64, 128)),
  cellXPx: fc.oneof(fc.integer({ min: 1, max: 7 }), fc.integer({ min: 1, max: 32 })),
  cellYPx: fc.integer({ min: 1, max: 5 }),
  turned: fc.boolean(),
  // what a solid leaves unetched, of all that the table of meeting cells holds; none is frequent
  loss: fc.constantFrom(0, 0, 0.02, 0.3),
  seed: fc.nat(),
});

/** Mostly tone between bare and solid, and some of both, in runs as long as a few cells. */
function rowOf(widthPx: number, seed: number, y: number): Uint16Array {
  const random = rowStream(seed, 0, y);
  const row = new Uint16Array(widthPx);
  let tone = 0;
  for (let x = 0; x < widthPx; x++) {
    if (random() % 8 === 0) tone = [0, 65_535, random() % 65_536, random() % 65_536][random() % 4]!;
    row[x] = tone;
  }
  return row;
}

test('rows of cells by vectors are those of the plain loops, and sums are what they should be', () => {
  fc.assert(
    fc.property(given, ({ widthPx, cellXPx, cellYPx, turned, loss, seed }) => {
      const cells = Math.ceil(widthPx / cellXPx);
      const losses = Int32Array.from({ length: 16 }, (_, i) => Math.round((loss * FULL * i) / 15));
      const random = rowStream(seed, 1, 0);
      const place = {
        cells,
        widthPx,
        cellPx: { x: cellXPx, y: cellYPx },
        turned,
        most: FULL - losses[15]!,
        waiting: WAITING,
        rules: rulesFor(losses),
        textureCells: TEXTURE_CELLS,
      };
      const vector = openVectorLoops(place);
      // a test that compares the plain loops with themselves would say nothing
      if (vector === null) throw new Error('this engine has no vectors');
      const offsets = Int16Array.from({ length: TEXTURE_CELLS ** 2 }, () => (random() % 65_536) - 32_768);
      const run = { cells, texture: { sideCells: TEXTURE_CELLS, offsets }, strength: 0.5, seed, plate: 0 };
      const [a, b] = [openPlainLoops(place), vector].map((loops) => ({
        loops,
        diffuse: openCellDiffusion(run, loops),
      }));
      for (let cellRow = 0; cellRow < CELL_ROWS; cellRow++) {
        const rows = Array.from({ length: cellYPx }, (_, row) =>
          rowOf(widthPx, seed, cellRow * cellYPx + row),
        );
        const force = Array.from({ length: cells }, () => random() % 16);
        const drawn = ({ loops, diffuse }: { loops: CellLoops; diffuse: (cellRow: number) => void }) => {
          for (const [row, tone] of rows.entries()) loops.add(tone, cellRow % WAITING, row);
          loops.read(cellRow % WAITING);
          const tones = [...loops.tones];
          for (let i = 0; i < cells; i++) if (force[i]! < 2) loops.tones[i] = force[i] === 0 ? KEPT : ETCHED;
          diffuse(cellRow);
          return { tones, bits: [...loops.bits], kept: [...loops.kept] };
        };
        const plain = drawn(a!);
        expect(drawn(b!)).toEqual(plain);
        for (let cell = 0; cell < cells; cell++) {
          const own = rows.flatMap((row) => [...row.subarray(cell * cellXPx, (cell + 1) * cellXPx)]);
          const mean = own.reduce((sum, tone) => sum + tone, 0) / (65_535 * own.length);
          const wanted = FULL * (turned ? 1 - mean : mean);
          const tone = wanted < FULL ? Math.min(wanted, place.most) : FULL;
          expect(Math.abs(plain.tones[cell]! - tone)).toBeLessThanOrEqual(0.5 + 1e-6);
        }
      }
    }),
    { seed: 5, numRuns: 150 },
  );
});
