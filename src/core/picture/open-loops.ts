import type { PictureLoops } from './loops.ts';
import { BYTES } from './memory.ts';
import { plainShares } from './shares-plain.ts';
import { openSharesWasm } from './shares-wasm.ts';
import { openPlainSpectrum } from './spectrum-plain.ts';
import { openSpectrumWasm } from './spectrum-wasm.ts';

/** For engines without WebAssembly, and what that is held to. */
export const plainLoops: PictureLoops = { shares: plainShares, openSpectrum: openPlainSpectrum };

/** Opens what one picture is looked at by: some 4 MB where the engine has WebAssembly. */
export function openLoops(): PictureLoops {
  const opened = openSharesWasm(BYTES);
  if (opened === null) return plainLoops;
  const { shares, memory } = opened;
  return { shares, openSpectrum: (of) => openSpectrumWasm(of, memory) ?? openPlainSpectrum(of) };
}
