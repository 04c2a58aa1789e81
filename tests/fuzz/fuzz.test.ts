import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { EtchError } from '../../src/core/errors.ts';
import { openSpoiler } from './spoil.ts';
import { targets } from './targets.ts';

/** `npm run fuzz` asks for many more. */
const ALL_RUNS = Number(process.env['FUZZ_RUNS'] ?? 500);
const FIRST_SEED = Number(process.env['FUZZ_SEED'] ?? 1);
const MOST_MS = 5000;

test.each(targets)(
  '$name: whatever is spoiled in it, it is read or told, in bounded time, and nothing is left lying about',
  async ({ name, run }) => {
    const runs = Math.ceil(ALL_RUNS / targets.length);
    for (let seed = FIRST_SEED; seed < FIRST_SEED + runs; seed++) {
      const folder = mkdtempSync(join(tmpdir(), 'fuzz-'));
      const start = performance.now();
      try {
        await run(openSpoiler(seed), join(folder, 'spoiled'));
      } catch (error) {
        expect(error, `${name}, seed ${seed}: ${(error as Error).stack}`).toBeInstanceOf(EtchError);
        expect((error as EtchError).hint.length, `${name}, seed ${seed}`).toBeGreaterThan(0);
      } finally {
        const left = readdirSync(folder).filter((file) => file !== 'spoiled');
        rmSync(folder, { recursive: true, force: true });
        expect(left, `${name}, seed ${seed}`).toEqual([]);
      }
      // a bound on hostile input, and no measure of speed: a run takes milliseconds
      expect(performance.now() - start, `${name}, seed ${seed}`).toBeLessThan(MOST_MS * 4);
    }
  },
  3_600_000,
);
