import { strideFor } from '../../bitmap.ts';
import type { CellLoops } from './contract.ts';
import { diffuseRow, packCells } from './diffuse.ts';
import { addRow, createSums, readTones } from './sums.ts';
import { type LoopsPlace, openVectorLoops } from './vector.ts';

/** By vectors and WebAssembly where the engine has them, to the same bits. */
export const openLoops = (place: LoopsPlace): CellLoops => openVectorLoops(place) ?? openPlainLoops(place);

/** In plain loops: for engines without, for very wide cells, and what the others are held to. */
export function openPlainLoops(place: LoopsPlace): CellLoops {
  const { cells, cellPx, waiting, rules, textureCells } = place;
  const sums = Array.from({ length: waiting }, () => createSums(cells, cellPx));
  const tones = new Int32Array(cells);
  const kept = new Int32Array(cells + 2);
  const moved = new Int32Array(textureCells);
  const bits = new Uint8Array(strideFor(cells));
  let carried = 0;
  return {
    tones,
    kept,
    moved,
    bits,
    add: (tone, to, row) => addRow(tone, sums[to]!, cellPx.x, row === 0),
    read: (from) => readTones(sums[from]!, place, tones),
    diffuse(back) {
      carried = back
        ? diffuseRow(tones, kept, rules, moved, cells - 1, -1, -1, carried)
        : diffuseRow(tones, kept, rules, moved, 0, cells, 1, carried);
    },
    pack: () => packCells(kept, cells, bits),
  };
}
