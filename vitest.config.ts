import { defineConfig } from 'vitest/config';

// CI asks for the counts in a file, to close with one line of its own.
const report = process.env.CI_REPORT;

export default defineConfig({
  test: {
    // Fonts are set up through the environment of the process (templates/card/fonts.ts): that fails silently in worker threads.
    pool: 'forks',
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/support/seed.ts'],
    testTimeout: 30_000,
    ...(report ? { reporters: ['default', ['json', { outputFile: report }]] } : {}),
  },
});
