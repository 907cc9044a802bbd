import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    // Fonts are set up through the environment of the process (templates/card/fonts.ts): that fails silently in worker threads.
    pool: 'forks',
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
  },
});
