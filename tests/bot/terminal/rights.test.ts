/** Every cell of the table of rights at the terminal: whoever sits there is one member, who takes each place in turn. Every act exists here: all are lines. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { makeCommands } from '../../../bot/commands/index.ts';
import { runTerminal } from '../../../bot/transports/terminal/index.ts';
import { castWith, everyCell, LOCAL, shelfOfTests } from '../rights.ts';

everyCell('at the terminal', {
  castFor: (standing) => castWith(LOCAL, standing),
  async open({ archive, clock }) {
    const sheets = await shelfOfTests();
    const commands = makeCommands({ sheets, archive, cards: null, clock, zone: 'Europe/Lisbon', theme: 'dark', log: () => {} }, 'terminal');
    const folder = mkdtempSync(join(tmpdir(), 'rights-terminal-'));
    let files = 0;
    return {
      async say(line, asker, file) {
        let heard = '';
        const screen = () =>
          new Writable({
            write(chunk, _, next) {
              heard += String(chunk);
              next();
            },
          });
        files += 1;
        const path = join(folder, `${files}-${file?.name ?? 'made.json'}`);
        if (file) writeFileSync(path, await file.bytes(Number.POSITIVE_INFINITY));
        const makes = /^\w+ export\b/.test(line);
        const words = [...line.split(' '), ...(file || makes ? [`file:${path}`] : [])];
        const status = await runTerminal(
          { sheets, out: screen(), err: screen(), input: Readable.from([]), commands: async () => commands, draw: async () => null, asker },
          words,
        );
        // The words of an export stand on the screen only where no file is named.
        if (makes && status === 0) {
          const again = await commands.answer({ command: words.slice(0, 2).join(' '), options: words[2] ? { name: words[2] } : {}, asker });
          heard += again.text + readFileSync(path, 'utf8');
        }
        return heard;
      },
      stop: async () => rmSync(folder, { recursive: true, force: true }),
    };
  },
});
