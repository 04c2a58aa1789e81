/**
 * FNV-1a, 32 bit, of a text in UTF-8 as 8 hex digits (G. Fowler, L. C. Noll, P. Vo; public domain, constants from
 * memory). A short name that differs when the text does; no protection against anybody.
 */
export function fnv1a(text: string): string {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193) >>> 0;
  return hash.toString(16).padStart(8, '0');
}
