import type { PictureLoops } from './loops.ts';
import { BYTES } from './memory.ts';
import { plainShares } from './shares-plain.ts';
import { openSharesWasm } from './shares-wasm.ts';
import { plainSpecks } from './specks-plain.ts';
import { specksByWasm } from './specks-wasm.ts';
import { openPlainSpectrum } from './spectrum-plain.ts';
import { openSpectrumWasm } from './spectrum-wasm.ts';

/** For engines without WebAssembly, and what that is held to. */
export const plainLoops: PictureLoops = {
  shares: plainShares,
  openSpectrum: openPlainSpectrum,
  specks: plainSpecks,
};

/** Opens what one picture is looked at by: some 4 MB where the engine has WebAssembly. */
export function openLoops(): PictureLoops {
  const opened = openSharesWasm(BYTES);
  if (opened === null) return plainLoops;
  const { shares, memory } = opened;
  return {
    shares,
    openSpectrum: (of) => openSpectrumWasm(of, memory) ?? openPlainSpectrum(of),
    specks: (tiles) => specksByWasm(tiles, memory) ?? plainSpecks(tiles),
  };
}
