import type { FormatDef, PlateHead } from '../../../src/io/formats/contract.ts';
import {
  bandsAt,
  isTurned,
  plainLayout,
  readExactly,
  storeRows,
  unstoreRows,
} from '../../../src/io/formats/rows.ts';

/** Netpbm's P4, with the resolution in a comment; of fixed length, so that it is found again. */
const front = ({ widthPx, heightPx, dpi }: Pick<PlateHead, 'widthPx' | 'heightPx' | 'dpi'>): Uint8Array =>
  Buffer.from(`P4\n# ${String(dpi).padEnd(20)} dpi\n${`${widthPx} ${heightPx}`.padEnd(20)}\n`);

/** Portable bitmap: black and white, unpacked, 1 is black. */
export const pbm: FormatDef = {
  kind: 'pbm',
  summary: 'PBM, black and white, unpacked',
  extension: 'pbm',
  photometric: () => 'WhiteIsZero',
  storedDpi: (dpi) => dpi,
  encodeBand: (rows, { widthPx, fire }) => ({
    bytes: storeRows(rows, plainLayout(widthPx), isTurned(fire, false)),
  }),
  assemble: (head, bands) => [front(head), ...bands.map(({ bytes }) => bytes)],
  locate(readAt, fileBytes) {
    const found = readExactly(readAt, 0, 51);
    const [, dpi, , widthPx, heightPx] = Buffer.from(found)
      .toString('latin1')
      .split(/\s+/)
      .slice(1)
      .map(Number);
    const head = { widthPx: widthPx!, heightPx: heightPx!, dpi: dpi! };
    if (!Buffer.from(front(head)).equals(found)) throw new Error('the file does not begin as a PBM of ours');
    const bytes = plainLayout(head.widthPx).rowBytes * head.heightPx;
    if (fileBytes !== found.length + bytes)
      throw new Error(`the file has ${fileBytes} bytes, not ${found.length + bytes}`);
    const bands = bandsAt(head.heightPx, head.heightPx, [{ offset: found.length, bytes }]);
    return { ...head, dpiX: head.dpi, dpiY: head.dpi, oneIsWhite: false, bands };
  },
  decodeBand: (bytes, { widthPx }, { rows }) => unstoreRows(bytes, plainLayout(widthPx), rows),
};
