/** Reading that is stopped half-way. */
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import { afterAll, expect, test } from 'vitest';
import { decodeAlpha } from '../../../src/io/read/alpha.ts';
import { inspectPicture } from '../../../src/io/read/inspect.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-stopped-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** A picture a pixel wide, so high that its rows are written in many turns. */
const ROWS = 20_000;

function bmp(): Uint8Array {
  const file = new DataView(new ArrayBuffer(54 + 4 * ROWS));
  file.setUint16(0, 0x424d);
  file.setUint32(2, file.byteLength, true);
  file.setUint32(10, 54, true);
  file.setUint32(14, 40, true);
  file.setInt32(18, 1, true);
  file.setInt32(22, ROWS, true);
  file.setUint16(26, 1, true);
  file.setUint16(28, 24, true);
  return new Uint8Array(file.buffer);
}

const inspected = (name: string, bytes: Uint8Array | string) => {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return inspectPicture({ path, name }, { maxPixels: 1e6, scratchDir: folder });
};

test.each([
  ['a.pgm', `P5 1 ${ROWS} 255\n${'x'.repeat(ROWS)}`],
  ['a.bmp', bmp()],
])('%s: no further row is written', async (name, bytes) => {
  const { opened, facts } = await inspected(name, bytes);
  const stop = new AbortController();
  const into = mkdtempSync(join(folder, 'into-'));
  const work = opened.decode({ folder: into, ...facts, signal: stop.signal });
  await turn();
  stop.abort();
  await expect(work).rejects.toMatchObject({ name: 'AbortError' });
});

test('the transparency of a drawing: the reason is told, and nothing left', async () => {
  const drawing = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><path d="M1 1h5v5z"/></svg>';
  const inspection = await inspected('a.svg', drawing);
  const before = readdirSync(folder);
  const stop = new AbortController();
  const work = decodeAlpha(inspection, inspection.facts, stop.signal);
  const reason = new Error('stopped');
  stop.abort(reason);
  await expect(work).rejects.toBe(reason);
  expect(readdirSync(folder)).toEqual(before);
});
