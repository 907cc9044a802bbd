/** Help: what can be asked, by what one wants to find out; what the house's own commands can do. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPitSide, type PitSide } from './pit-side.ts';

let pit: PitSide;
beforeAll(async () => {
  pit = await openPitSide();
});
afterAll(() => pit.end());

describe('help', () => {
  it('names every sheet and the ways to keep what one finds, in one message', async () => {
    const text = await pit.say('help');
    for (const name of pit.sheets.keys()) expect(text).toMatch(new RegExp(`\\b${name}\\b`));
    for (const way of ['/keep', '/truck show', '/run add', '/setup save', '/help about:box']) expect(text).toContain(way);
  });

  it('says what each of the house’s own commands can do', async () => {
    for (const { name, subcommands, options } of pit.commands.specs) {
      if (pit.sheets.has(name) || name === 'help') continue;
      const text = await pit.say(`help ${name}`);
      expect(text).toMatch(new RegExp(`^/${name}: `));
      for (const sub of subcommands ?? []) expect(text).toContain(`· /${name} ${sub.name}: `);
      for (const option of options) expect(text).toContain(`· ${option.name}: `);
    }
    expect(await pit.say('help about:truck show')).toBe(await pit.say('help truck'));
  });

  it('takes words that begin like a command for what they are', async () => {
    expect(await pit.say('help run faster through the whoops')).toContain('/whoops');
  });
});
