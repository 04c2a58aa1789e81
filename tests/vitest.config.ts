import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/reference/**'],
    testTimeout: 30_000,
    pool: 'forks',
  },
});
