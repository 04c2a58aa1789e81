/** Work of threads that nobody waits for any more, since something else has failed before: it may fail, too, unheard. */
import { setImmediate as turn } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { EtchError } from '../../src/core/errors.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { resolveMaking } from '../../src/job/making.ts';
import { NO_CURVES } from '../../src/job/measured-curve.ts';
import { layPlate } from '../../src/job/plan.ts';
import type { Task } from '../../src/run/bench.ts';
import { makePlate } from '../../src/run/plate/bands.ts';
import { NOTHING_BUILT } from '../../src/run/plate/build-screen.ts';
import { openDecision, type ScreenStore } from '../../src/run/plate/decide.ts';
import type { BitsSetup } from '../../src/run/plate/setup.ts';
import type { GreySource } from '../../src/run/plate/tone-source.ts';
import type { Pool } from '../../src/run/pool.ts';

const unheard: unknown[] = [];
const hear = (reason: unknown) => unheard.push(reason);
beforeAll(() => void process.on('unhandledRejection', hear));
afterAll(() => void process.off('unhandledRejection', hear));

/** Threads that do as they are told, a turn later for what is slow. */
const poolOf = (run: (task: Task) => unknown): Pool =>
  ({
    threads: 2,
    add: () => undefined,
    drop: () => undefined,
    close: async () => undefined,
    run: async (task: Task) => run(task),
  }) as unknown as Pool;

const settings = { process: 'intaglio', widthMm: 20, heightMm: 20, dpi: 254, screen: 'dot' };
const wanted = resolveJob([{ origin: 'flag', name: '', values: settings }]).job!;
const { making } = resolveMaking(wanted, null);
const size = { widthPx: 10, heightPx: 10, ppiX: null, ppiY: null };

test('a look at the picture of a plate whose screen cannot be built', async () => {
  const pool = poolOf(async (task) => {
    if (task.do === 'buildScreen')
      throw new EtchError('usage', 'too-fine', 'Building it', 'Take a coarser one.');
    await turn();
    throw new Error('the picture is closed');
  });
  const decision = openDecision(wanted, making, NO_CURVES, pool, new Map());
  const decided = decision.forPicture({} as GreySource, layPlate(wanted, size), null, false);
  await expect(decided).rejects.toThrow('Building it');
  await turn();
  await turn();
  expect(unheard).toEqual([]);
});

test('the count of thin lines of a plate of which a band fails', async () => {
  const pool = poolOf(async (task) => {
    if (task.do === 'screen') throw new Error('no room');
    await turn();
    throw new Error('the picture is closed');
  });
  const bitmap = { widthPx: 8, heightPx: 8, strideBytes: 1, data: new Uint8Array(8) };
  const plan = { layout: { box: { heightPx: 8 } }, screen: { kind: 'threshold', params: {}, place: {} } };
  const setup = { id: 1, bitmap, plan } as unknown as BitsSetup;
  const made = makePlate(setup, [], pool, true, new AbortController().signal, () => undefined);
  await expect(made).rejects.toThrow('no room');
  await turn();
  await turn();
  expect(unheard).toEqual([]);
});

test.each([
  ['dies is asked of another', new Error('out of memory'), 2],
  ['refuses it is not asked again', new EtchError('usage', 'too-fine', 'Building it', 'Coarser.'), 1],
])('a screen whose thread %s', async (_, error, times) => {
  let asked = 0;
  const pool = poolOf(async () => {
    if (asked++ === 0) throw error;
    return NOTHING_BUILT;
  });
  const store: ScreenStore = new Map();
  openDecision(wanted, making, NO_CURVES, pool, store);
  await turn();
  openDecision(wanted, making, NO_CURVES, pool, store);
  await turn();
  expect(asked).toBe(times);
});
