import { expect, test } from 'vitest';
import { depthOf } from '../../src/job/hold-limits.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { resolveMaking } from '../../src/job/making.ts';
import { type JudgedParts, timeOf } from '../../src/report/sections.ts';

test.each([
  [{}, 'for one pass;'],
  [{ passes: 1 }, ', 1 pass;'],
  [{ passes: 3 }, ', 3 passes;'],
])('minutes say for how many passes they are: %j', (wanted, words) => {
  const values = { process: 'intaglio', widthMm: 20, ...wanted };
  const job = resolveJob([{ origin: 'flag', name: '', values }]).job!;
  const { making } = resolveMaking(job, null);
  const time = { perPassS: 1, totalS: 1, rows: 1, slotS: 1, fitsSlot: true };
  const parts = { dpi: job.dpi, making, depth: depthOf(job, making), analysis: { time } };
  expect(timeOf(parts as unknown as JudgedParts)?.basis).toContain(words);
});
