import { type ByteSource, latin1 } from '../bytes.ts';
import type { PictureFormat } from '../facts.ts';

const headBytes = 4096;

/** The kind of picture a file's first bytes announce, whatever its name says; null for none we know. */
export function sniffFormat(file: ByteSource): PictureFormat | 'heic' | null {
  const head = latin1(file.read(0, headBytes));
  if (head.startsWith('\x89PNG\r\n\x1a\n')) return 'png';
  if (head.startsWith('\xff\xd8\xff')) return 'jpeg';
  if (/^(II[*+]\0|MM\0[*+])/.test(head)) return 'tiff';
  if (head.startsWith('RIFF') && head.slice(8, 12) === 'WEBP') return 'webp';
  if (head.startsWith('GIF87a') || head.startsWith('GIF89a')) return 'gif';
  if (head.slice(4, 8) === 'ftyp') return boxFormat(head);
  if (head.startsWith('BM')) return 'bmp';
  if (/^P[1-7][\s#]/.test(head)) return 'pnm';
  return looksLikeSvg(head) ? 'svg' : null;
}

/** ISO/IEC 14496-12 file-type box: the brands tell AV1 pictures from HEVC ones. */
function boxFormat(head: string): 'avif' | 'heic' | null {
  const brands = head.slice(8, 64);
  if (/avi[fs]/.test(brands)) return 'avif';
  return /hei[cxms]|hev[cx]|mif1|msf1/.test(brands) ? 'heic' : null;
}

/** An XML text whose first element is svg, after any byte-order mark, declaration, comments and document type. */
function looksLikeSvg(head: string): boolean {
  // Read as if one byte were one character: UTF-16 text then has noughts between its letters.
  const text = head.replace(/^(\xef\xbb\xbf|\xfe\xff|\xff\xfe)/, '').replace(/\0/g, '');
  return /^\s*</.test(text) && /<(\w+:)?svg[\s>/]/.test(text);
}
