/** The screen that is chosen for a tone, by spot and sheet, and that its report says nothing else of it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { makePlate } from './make.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-choice-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const tone = join(import.meta.dirname, '../../examples/sound-tone.png');

test('a spot of one pixel draws single pixels only where the sheet holds them', async () => {
  const job = { process: 'intaglio', widthMm: '12mm', dpi: '508', spotMm: '0.05mm' };
  const codes = ({ cautions }: { cautions: readonly { code: string }[] }) => cautions.map(({ code }) => code);
  const { report } = await makePlate(folder, tone, job, 'sheet');
  expect(report.screen.kind).toBe('cell');
  expect(codes(report)).not.toContain('thin-lands');
  expect(codes(report)).not.toContain('small-marks');
  const finer = { ...job, minEtchedMm: '0.05mm', minKeptMm: '0.05mm' };
  const { report: fine } = await makePlate(folder, tone, finer, 'finer');
  expect(fine.screen).toMatchObject({
    kind: 'errordiffusion',
    why: expect.stringMatching(/single pixels hold/),
  });
});
