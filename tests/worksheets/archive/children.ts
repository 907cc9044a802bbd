import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, rmSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/**
 * `child.ts` made into one file, which starts in a tenth of a second of work: with tsx a child that is to be killed costs seven. It lies in
 * the project, so that it finds its packages.
 */
export async function bundleChild(): Promise<{ readonly file: string; remove(): void }> {
  const out = fileURLToPath(new URL('../../../out/tests/', import.meta.url));
  mkdirSync(out, { recursive: true });
  const file = `${out}child-${process.pid}-${Math.random().toString(36).slice(2, 8)}.mjs`;
  await build({
    entryPoints: [fileURLToPath(new URL('child.ts', import.meta.url))],
    outfile: file,
    bundle: true,
    platform: 'node',
    format: 'esm',
    external: ['better-sqlite3', 'pg'],
    logLevel: 'error',
  });
  return { file, remove: () => rmSync(file, { force: true }) };
}

/** A process of its own. `said` holds what it has said, `until` waits until that many lines are there. */
export function startChild(file: string) {
  const child = spawn(process.execPath, [file]);
  const said: string[] = [];
  const errors: string[] = [];
  let wake = (): void => {};
  let over = false;
  child.stdin.on('error', () => {});
  child.stderr.on('data', (data) => errors.push(String(data)));
  createInterface(child.stdout).on('line', (line) => {
    said.push(line);
    wake();
  });
  const ended = once(child, 'close').then(() => {
    over = true;
    wake();
  });
  return {
    said,
    errors,
    ask: (line: string) => child.stdin.write(`${line}\n`),
    async until(lines: number): Promise<void> {
      while (said.length < lines) {
        if (over || errors.length > 0) throw new Error(`the process said: ${errors.join('') || 'nothing more'}`);
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
    },
    async kill(): Promise<void> {
      child.kill('SIGKILL');
      await ended;
    },
  };
}
export type Child = ReturnType<typeof startChild>;
