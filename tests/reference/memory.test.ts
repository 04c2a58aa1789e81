/** Peak memory of whole runs, against what is promised: 180 MB and two and a half times the packed bitmap. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const root = join(import.meta.dirname, '../..');
const bin = join(root, 'bin/etchwright.js');
const tellUsage = pathToFileURL(join(root, 'tests/bench/tell-usage.mjs')).href;
const [WIDE, HIGH] = [6000, 4000];

let folder: string;
const pictures: Record<string, string> = {};

/** 24 million pixels with shapes and noise, as a camera gives them. */
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'etchwright-test-memory-'));
  const codes = new Uint8Array(WIDE * HIGH * 3);
  let state = 1;
  for (let i = 0, p = 0; p < WIDE * HIGH; p++) {
    const [x, y] = [p % WIDE, Math.floor(p / WIDE)];
    const shape = 128 + 90 * Math.sin(x / 311) * Math.cos(y / 197);
    for (let band = 0; band < 3; band++) {
      state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
      codes[i++] = Math.max(0, Math.min(255, shape + ((state >> 16) & 31) - 16 + band * 10));
    }
  }
  const picture = () => sharp(codes, { raw: { width: WIDE, height: HIGH, channels: 3 } });
  pictures['camera'] = join(folder, 'camera.jpg');
  pictures['progressive'] = join(folder, 'progressive.jpg');
  await picture().jpeg({ quality: 90 }).toFile(pictures['camera']);
  await picture()
    .withMetadata({ orientation: 6 })
    .jpeg({ quality: 90, progressive: true })
    .toFile(pictures['progressive']);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Peak of a run in MB (a million bytes), as the process itself saw it end. */
function peakMB(words: readonly string[]): number {
  const args = ['--import', tellUsage, bin, ...words, '--quiet', '--overwrite'];
  const { status, stderr } = spawnSync(process.execPath, args, { cwd: folder, encoding: 'utf8' });
  expect(stderr).not.toContain('etchwright:');
  expect(status).toBe(0);
  return (JSON.parse(stderr.trimEnd().split('\n').at(-1)!).peakKiB * 1024) / 1e6;
}

const packedMB = (widthMm: number, heightMm: number, dpi: number): number =>
  (Math.round((widthMm * dpi) / 25.4) * Math.round((heightMm * dpi) / 25.4)) / 8e6;

describe.each([
  { picture: 'camera', widthMm: 300, heightMm: 300, dpi: 500, heldMB: 0 },
  { picture: 'camera', widthMm: 600, heightMm: 300, dpi: 1000, heldMB: 0 },
  // decoders hold progressive files whole: three bytes a source pixel
  { picture: 'progressive', widthMm: 300, heightMm: 300, dpi: 500, heldMB: (3 * WIDE * HIGH) / 1e6 },
])('$picture to $widthMm × $heightMm mm at $dpi dpi', ({ picture, widthMm, heightMm, dpi, heldMB }) => {
  const promised = 180 + 2.5 * packedMB(widthMm, heightMm, dpi) + heldMB;

  test.each([
    { screen: 'errordiffusion', words: ['--no-hold'] },
    { screen: 'errordiffusion', words: [] },
    { screen: 'cell', words: ['--no-hold'] },
    { screen: 'cell', words: [] },
  ])(`${promised.toFixed(0)} MB at most: $screen $words`, ({ screen, words }) => {
    const peak = peakMB([
      ...['prepare', pictures[picture]!, '--process', 'intaglio', '--fit', 'fill', '--workers', '2'],
      ...['--width', `${widthMm}mm`, '--height', `${heightMm}mm`, '--dpi', String(dpi)],
      ...['--screen', screen, ...words],
    ]);
    expect(peak).toBeLessThanOrEqual(promised);
  });
});
