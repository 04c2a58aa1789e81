import { readFileSync } from 'node:fs';

/** Raised whenever the same job may give other bits than before. */
const ALGORITHMS = 4;

export interface ToolFacts {
  readonly name: 'etchwright';
  readonly version: string;
  readonly engine: { readonly sharp: string; readonly libvips: string; readonly algorithms: number };
}

export const packageVersion = (): string =>
  (JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string })
    .version;

/** What made the plate. Loads sharp, so ask only when a picture has been read anyway. */
export async function toolFacts(): Promise<ToolFacts> {
  const { default: sharp } = await import('sharp');
  return {
    name: 'etchwright',
    version: packageVersion(),
    engine: {
      sharp: sharp.versions.sharp ?? 'unknown',
      libvips: sharp.versions.vips,
      algorithms: ALGORITHMS,
    },
  };
}
