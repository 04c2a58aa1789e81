import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

/** What needs readers from outside npm (Pillow, ImageMagick, libtiff's tools, Ghostscript, Poppler, pngcheck, Chromium). */
export default defineConfig({
  test: {
    include: ['tests/reference/**/*.test.ts'],
    testTimeout: 120_000,
    // plates and sheets are made before the tests of a file
    hookTimeout: 120_000,
    pool: 'forks',
    // as with the other tests; limits here are of processor time and memory of single processes, not of the clock
    maxWorkers: availableParallelism(),
  },
});
