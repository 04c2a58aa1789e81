import { setImmediate as nextTurn } from 'node:timers/promises';
import { readExactly } from '../../exact.ts';
import type { Samples } from '../../scratch.ts';

const blockBytes = 1 << 20;

/** Some rows of decoded samples, bands side by side, and where they stand in the picture. */
export interface SampleBlock {
  readonly samples: Uint8Array | Uint16Array;
  readonly firstRow: number;
  readonly pixels: number;
}

/** Rows in a block of these samples: about 1 MB of them. */
export const blockRowsOf = ({ widthPx, bands, bytesPerSample }: Samples): number =>
  Math.max(1, Math.floor(blockBytes / (widthPx * bands * bytesPerSample)));

/** Reads decoded samples from top to bottom into one block, again and again; lets others run in between, and stops when told. */
export async function* sampleBlocks(from: Samples, signal?: AbortSignal): AsyncGenerator<SampleBlock> {
  const { widthPx, heightPx, bytesPerSample, bands } = from;
  const blockRows = blockRowsOf(from);
  const samples = new (bytesPerSample === 1 ? Uint8Array : Uint16Array)(blockRows * widthPx * bands);
  for (let firstRow = 0; firstRow < heightPx; firstRow += blockRows) {
    const pixels = Math.min(blockRows, heightPx - firstRow) * widthPx;
    const at = from.offsetBytes + firstRow * widthPx * bands * bytesPerSample;
    readExactly(from.fd, samples.subarray(0, pixels * bands), at);
    yield { samples, firstRow, pixels };
    await nextTurn(undefined, { ...(signal && { signal }) });
  }
}
