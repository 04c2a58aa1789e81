import type { LedgerDraft } from '../../../src/store/edition/entry.ts';

export const hash = (of: string): string => of.repeat(64);

export const begin: Extract<LedgerDraft, { kind: 'begin' }> = {
  kind: 'begin',
  title: 'Night Ferry',
  artist: 'M. Quay',
  year: 2031,
  medium: 'relief',
  sizes: { edition: 24, AP: 3, PP: 2, HC: 0 },
  sheets: 37,
};
export const plate = (name: string, bits = 'a', more: { duplicateOf?: string } = {}): LedgerDraft => ({
  kind: 'plate',
  plate: name,
  bitsSha256: hash(bits),
  process: 'relief',
  widthMm: 240,
  heightMm: 160,
  dpi: 500,
  material: 'cherry',
  ...more,
});
