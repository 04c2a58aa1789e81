import { readFileSync } from 'node:fs';

interface Oracles {
  readonly pHYs_chunk_bytes: Readonly<Record<string, string>>;
  readonly png_tiny: {
    readonly rows: string[];
    readonly filtered_stream_hex: string;
    readonly ihdr_chunk: string;
  };
  readonly bmp_tiny: {
    readonly hex: string;
    readonly stride: readonly [widthPx: number, bytes: number][];
  };
  readonly tiff_tiny: Readonly<Record<0 | 1, { readonly hex: string }>>;
}

/** Values computed in Python from the formats' standards, not by this program; see fixtures/SOURCES.md. */
export const oracles: Oracles = JSON.parse(
  readFileSync(new URL('../../../fixtures/oracles/formats.json', import.meta.url), 'utf8'),
);

export const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');
