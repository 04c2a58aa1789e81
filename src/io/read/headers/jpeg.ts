import { type ByteSource, latin1 } from '../bytes.ts';
import type { Ppi } from './resolution.ts';

const cmPerInch = 2.54;
// As for PNG: a bound on what a hostile file can make us walk.
const mostSegments = 2000;

/** The pixel density of a JFIF header with an absolute unit (ITU-T T.871, 10.1: units 1 = inch, 2 = cm). */
export function readJfifPpi(file: ByteSource): Ppi | null {
  let at = 2;
  for (let count = 0; count < mostSegments; count++) {
    const head = file.read(at, 18);
    if (head.byteLength < 4 || head.getUint8(0) !== 0xff) return null;
    const marker = head.getUint8(1);
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    // Pixels follow (start of scan), or nothing does.
    if (marker === 0xda || marker === 0xd9) return null;
    if (marker === 0xe0 && head.byteLength >= 16 && latin1(head, 4, 5) === 'JFIF\0') {
      const perInch = [0, 1, cmPerInch][head.getUint8(11)] ?? 0;
      return perInch === 0 ? null : { x: head.getUint16(12) * perInch, y: head.getUint16(14) * perInch };
    }
    at += 2 + head.getUint16(2);
  }
  return null;
}
