import { latin1 } from './bytes.ts';

const textDecoder = new TextDecoder('utf-16be');
const unnamed = 'unnamed profile';

/** The description an ICC profile gives itself (ICC.1:2022, 9.2.41; ICC.1:2001-04, 6.5.17 for version 2). */
export function profileName(profile: Uint8Array): string {
  const view = new DataView(profile.buffer, profile.byteOffset, profile.byteLength);
  if (view.byteLength < 132) return unnamed;
  const count = Math.min(view.getUint32(128), 100);
  for (let tag = 0; tag < count; tag++) {
    const at = 132 + tag * 12;
    if (at + 12 > view.byteLength) break;
    if (latin1(view, at, 4) !== 'desc') continue;
    return describedBy(view, view.getUint32(at + 4)) || unnamed;
  }
  return unnamed;
}

function describedBy(view: DataView, at: number): string {
  if (at + 28 > view.byteLength) return '';
  const type = latin1(view, at, 4);
  if (type === 'desc') return printable(latin1(view, at + 12, Math.min(view.getUint32(at + 8), 200)));
  if (type !== 'mluc') return '';
  const length = Math.min(view.getUint32(at + 20), 400);
  const start = at + view.getUint32(at + 24);
  if (start + length > view.byteLength) return '';
  return printable(textDecoder.decode(new Uint8Array(view.buffer, view.byteOffset + start, length)));
}

const printable = (text: string): string => text.replace(/[\p{C}]/gu, '').trim();
