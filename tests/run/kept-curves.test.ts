import { expect, test } from 'vitest';
import type { KnownWorkshop } from '../../src/job/making.ts';
import { openKnown } from '../../src/run/settle-job.ts';

test('the curves of a sheet are read once, however many rows of a list ask at the same time', async () => {
  const curves = [{ id: 'soft', materialId: 'zinc', file: 'none.curve.json' }];
  const workshop = { workshop: { curves }, sha256: 'a'.repeat(64) } as unknown as KnownWorkshop;
  const known = await openKnown({ curve: undefined }, { workshop, workshopFile: 'w.json' });
  const asked = Promise.allSettled([known.keptFor('zinc'), known.keptFor('zinc'), known.keptFor('wood')]);
  const [one, other, none] = await asked;
  // two readings would fail with two errors
  expect(one).toMatchObject({
    status: 'rejected',
    reason: { message: expect.stringContaining('none.curve') },
  });
  expect((one as PromiseRejectedResult).reason).toBe((other as PromiseRejectedResult).reason);
  expect(none).toEqual({ status: 'fulfilled', value: [] });
});
