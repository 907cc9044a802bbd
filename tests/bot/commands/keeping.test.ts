/** What must not cost the answer: a full disk, a closed archive, a picture that cannot be drawn. And what must happen once only. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { makeCommands } from '../../../bot/commands/index.ts';
import { openArchive } from '../../../worksheets/archive/archive.ts';
import { INES, openPitSide, type PitSide } from './pit-side.ts';

const LINE = 'corners 612 605 901 896 truck:Mudlark';
let pit: PitSide | undefined;
afterEach(async () => {
  await pit?.end();
  pit = undefined;
});

describe('keeping an answer', () => {
  it('a full disk costs the entry, not the answer, and says so', async (context) => {
    const disk = mkdtempSync(join(tmpdir(), 'pit-disk-'));
    const { status, stderr } = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=1500000', 'tmpfs', disk], { encoding: 'utf8' });
    if (status !== 0) {
      rmSync(disk, { recursive: true });
      if (process.env.CI === 'true') throw new Error(`a small disk could not be mounted: ${stderr}`);
      context.skip(`a small disk could not be mounted: ${stderr.trim()}`);
    }
    try {
      pit = await openPitSide();
      const archive = await openArchive({ file: join(disk, 'club.sqlite'), create: true });
      const told: string[] = [];
      const commands = makeCommands(
        { sheets: pit.sheets, archive, cards: null, clock: Date.now, zone: 'UTC', theme: 'dark', log: (line) => told.push(line) },
        'terminal',
      );
      const ask = () => commands.answer({ command: 'corners', options: { quick: '612 605 901 896' }, asker: INES });
      expect((await ask()).text).not.toContain('could not be kept');
      try {
        for (;;) writeFileSync(join(disk, 'holiday pictures'), Buffer.alloc(4096, 1), { flag: 'a' });
      } catch {}
      let reply = await ask();
      for (let i = 0; i < 200 && !reply.text.includes('could not be kept'); i += 1) reply = await ask();
      expect(reply.kind).toBe('answer');
      expect(reply.text).toContain('59.622 %');
      expect(reply.text).toMatch(/could not be kept: .*(full|room|space)/i);
      await archive.close();
    } finally {
      spawnSync('umount', ['-l', disk]);
      rmSync(disk, { recursive: true, force: true });
    }
  });

  it('an archive that is closed costs the entry, not the answer', async () => {
    pit = await openPitSide();
    await pit.archive.close();
    const reply = await pit.reply(LINE);
    expect(reply.kind).toBe('answer');
    expect(reply.text).toContain('59.622 %');
    expect(reply.text).toContain('could not be kept');
  });

  it('the same interaction twice is one entry, with the same words', async () => {
    pit = await openPitSide();
    await pit.say(LINE);
    const [first, second] = [
      await pit.reply('setup save calm', INES, '77001'),
      await pit.reply('setup save calm truck:Mudlark', INES, '77002'),
    ];
    expect(first.kind).toBe('problems');
    const again = await pit.reply('setup save calm truck:Mudlark', INES, '77002');
    expect(again.text).toBe(second.text);
    expect(await pit.say('setup find calm')).not.toContain('revision 2');
  });

  it('a slip keeps nothing, and every slip of the question is said at once', async () => {
    pit = await openPitSide();
    const reply = await pit.reply('corners 6120 605 truck:Mudlark end:left');
    expect(reply.visibility).toBe('private');
    expect(reply.text).toContain('Front left: "6120" is out.');
    expect(reply.text).toContain('Rear left is missing');
    expect(reply.text).toContain('End:');
    expect(await pit.archive.latest({ club: INES.club, member: INES.member, truck: 'Mudlark' })).toEqual([]);
  });
});
