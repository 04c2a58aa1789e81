/**
 * A press that prints a plate file: the beam's marks spread, and a scanner looks at the print.
 * Run: node examples/simulated-press.mjs <plate.png> <layout.json> <scan.png> [degrees] [spread in mm] [wedge.json]
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { crc32, deflateSync, inflateSync } from 'node:zlib';
import { simulatedScan } from './simulated-scan.mjs';

const SIGNATURE = Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]);

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), data]);
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  check.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, check]);
}

/** Grey codes of 8 bits as a PNG. */
export function greyPng(codes, width, height) {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y++) rows.set(codes.subarray(y * width, (y + 1) * width), y * (width + 1) + 1);
  const data = deflateSync(rows, { level: 1 });
  return Buffer.concat([SIGNATURE, chunk('IHDR', head), chunk('IDAT', data), chunk('IEND', Buffer.alloc(0))]);
}

/** Reads a plate's PNG, 1 bit a pixel and dark fires: 1 for each pixel that the beam fires at. */
export function firedIn(png) {
  const data = [];
  let head = null;
  for (let at = 8; at < png.length; ) {
    const length = png.readUInt32BE(at);
    const name = png.toString('latin1', at + 4, at + 8);
    const body = png.subarray(at + 8, at + 8 + length);
    if (name === 'IHDR') head = { width: body.readUInt32BE(0), height: body.readUInt32BE(4) };
    if (name === 'IDAT') data.push(body);
    at += length + 12;
  }
  const rows = inflateSync(Buffer.concat(data));
  const { width, height } = head;
  const stride = Math.ceil(width / 8) + 1;
  const fired = new Uint8Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      fired[y * width + x] = 1 - ((rows[y * stride + 1 + (x >> 3)] >> (7 - (x & 7))) & 1);
  return { fired, width, height };
}

/** Points of the print along a pixel of the plate. */
const BY = 3;

/** A mark of one firing: the share of each point around its middle that lies in the disc. */
function stampOf(radius) {
  const reach = Math.ceil(radius);
  const side = 2 * reach + 1;
  const shares = Float32Array.from({ length: side * side }, (_, i) => {
    const far = Math.hypot((i % side) - reach, Math.floor(i / side) - reach);
    return Math.min(1, Math.max(0, radius - far + 0.5));
  });
  return { reach, side, shares };
}

/**
 * Prints a plate: every firing takes away a disc, and ink stands on what is kept (relief), or in what is etched
 * (intaglio). Gives coverage, print-reading, as `simulatedScan` wants it.
 */
export function printed({ fired, width, height }, { dpi, process }, spotMm) {
  const pxPerMm = (dpi / 25.4) * BY;
  const [w, h] = [width * BY, height * BY];
  const etched = new Float32Array(w * h);
  const { reach, side, shares } = stampOf((spotMm / 2) * pxPerMm);
  const middle = (BY - 1) / 2;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (!fired[y * width + x]) continue;
      const [left, top] = [(width - 1 - x) * BY + middle - reach, y * BY + middle - reach];
      for (let j = Math.max(0, -top); j < side && top + j < h; j++)
        for (let i = Math.max(0, -left); i < side && left + i < w; i++) {
          const at = (top + j) * w + left + i;
          const share = shares[j * side + i];
          // marks that lie over each other take away no more
          if (share > etched[at]) etched[at] = share;
        }
    }
  if (process === 'relief') for (let at = 0; at < etched.length; at++) etched[at] = 1 - etched[at];
  return { width: w, height: h, pxPerMm, ink: etched };
}

/** Prints and scans: the scan with what is true of it. */
export function pressed(png, layout, { spotMm = 0.13, ...scanner } = {}) {
  return simulatedScan(layout, {
    ppi: 300,
    marginMm: 10,
    ...scanner,
    plate: printed(firedIn(png), layout, spotMm),
  });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [plate, layout, scan, angleDeg = '3', spotMm = '0.13', wedge] = process.argv.slice(2);
  // where a wedge lies beside the print, the scanner has a tone curve of its own
  const scanner = wedge
    ? { wedge: JSON.parse(readFileSync(wedge, 'utf8')), scannerCurve: (light) => light ** (1 / 1.7) }
    : {};
  const { codes, widthPx, heightPx } = pressed(
    readFileSync(plate),
    JSON.parse(readFileSync(layout, 'utf8')),
    {
      angleDeg: Number(angleDeg),
      spotMm: Number(spotMm),
      ...scanner,
    },
  );
  writeFileSync(scan, greyPng(codes, widthPx, heightPx));
}
