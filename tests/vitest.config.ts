import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/reference/**'],
    testTimeout: 60_000,
    pool: 'forks',
    // vitest leaves one core free, which of two is half; tests wait for processes of their own and time nothing
    maxWorkers: availableParallelism(),
  },
});
