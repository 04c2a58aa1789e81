import { deflateSync } from 'node:zlib';

/** CRC-32 of PNG, annex D of the W3C recommendation: polynomial 0xedb88320, both ends inverted. */
const CRC_TABLE = Int32Array.from({ length: 256 }, (_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  return crc;
});
const crcOf = (bytes) => {
  let crc = -1;
  for (const byte of bytes) crc = CRC_TABLE[(crc ^ byte) & 255] ^ (crc >>> 8);
  return ~crc >>> 0;
};

function chunk(name, data) {
  const bytes = Buffer.alloc(data.length + 12);
  bytes.writeUInt32BE(data.length, 0);
  bytes.write(name, 4, 'latin1');
  bytes.set(data, 8);
  bytes.writeUInt32BE(crcOf(bytes.subarray(4, data.length + 8)), data.length + 8);
  return bytes;
}

/** A small PNG of greys 0 … 255, 255 = white: 1 bit a pixel where they are black and white only, else 8. The same bytes each time. */
export function greyPng(greys, widthPx) {
  const heightPx = greys.length / widthPx;
  const bits = greys.every((grey) => grey === 0 || grey === 255) ? 1 : 8;
  const stride = 1 + Math.ceil((widthPx * bits) / 8);
  const rows = Buffer.alloc(stride * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const grey = greys[y * widthPx + x];
      const row = y * stride + 1;
      if (bits === 8) rows[row + x] = grey;
      else if (grey === 255) rows[row + (x >> 3)] |= 0x80 >> (x & 7);
    }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(widthPx, 0);
  head.writeUInt32BE(heightPx, 4);
  head[8] = bits;
  return Buffer.concat([
    Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]),
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(rows, { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}
