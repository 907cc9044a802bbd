/** The double is only worth something if it refuses what Discord refuses: asked here directly, without the bot. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { type Double, startDouble } from '../../support/discord-double/index.ts';

let discord: Double;
let socket: WebSocket;
/** Interactions as the gateway told them to this test's own socket. */
const told: { id: string; token: string }[] = [];

const ASK = {
  name: 'ask',
  description: 'asks',
  options: [{ type: 3, name: 'what', description: 'what', autocomplete: true }],
};

beforeAll(async () => {
  discord = await startDouble({ tokenLife: 60_000 });
  socket = new WebSocket(`${discord.api.replace('http', 'ws').replace('/api', '')}/gateway?v=10&encoding=json`);
  await new Promise<void>((resolve) => {
    socket.on('message', (data) => {
      const { op, t, d } = JSON.parse(String(data));
      if (op === 10)
        socket.send(
          JSON.stringify({ op: 2, d: { token: discord.token, intents: 1, properties: { os: 'linux', browser: 'x', device: 'x' } } }),
        );
      if (t === 'GUILD_CREATE') resolve();
      if (t === 'INTERACTION_CREATE') told.push(d);
    });
  });
  await register([ASK]);
});
afterAll(async () => {
  socket.terminate();
  await discord.stop();
});

interface Answered {
  readonly status: number;
  readonly code: number;
  readonly words: string;
}

async function call(
  method: string,
  path: string,
  body: unknown,
  { token = discord.token, files = {} as { [n: number]: string } } = {},
): Promise<Answered> {
  const form = new FormData();
  form.append('payload_json', JSON.stringify(body));
  for (const [n, content] of Object.entries(files)) form.append(`files[${n}]`, new Blob([content], { type: 'image/png' }), `${n}.png`);
  const multipart = Object.keys(files).length > 0;
  const response = await fetch(`${discord.api}/v10${path}`, {
    method,
    headers: { authorization: `Bot ${token}`, ...(multipart ? {} : { 'content-type': 'application/json' }) },
    ...(method === 'GET' ? {} : { body: multipart ? form : JSON.stringify(body) }),
  });
  const text = await response.text();
  return { status: response.status, code: text === '' ? 0 : (JSON.parse(text).code ?? 0), words: text };
}

const register = (commands: unknown): Promise<Answered> =>
  call('PUT', `/applications/${discord.applicationId}/guilds/${discord.guild.id}/commands`, commands);

describe('commands that Discord refuses', () => {
  const option = { type: 3, name: 'front', description: 'front axle' };
  const many = (n: number): object[] => Array.from({ length: n }, (_, i) => ({ ...option, name: `o${i}` }));
  const refused: readonly (readonly [string, unknown, string])[] = [
    ['a name with a space', [{ ...ASK, name: 'two words' }], 'rule for names'],
    ['a name in capitals', [{ ...ASK, name: 'Ask' }], 'lower case'],
    ['a name of 33 letters', [{ ...ASK, name: 'a'.repeat(33) }], 'rule for names'],
    ['an option whose name has a dot', [{ ...ASK, options: [{ ...option, name: 'a.b' }] }], 'rule for names'],
    ['no description', [{ name: 'ask' }], 'description is required'],
    ['an empty description', [{ name: 'ask', description: ' ' }], 'description is required'],
    ['a description of 101 characters', [{ name: 'ask', description: 'x'.repeat(101) }], '100 characters'],
    ['an option without a description', [{ ...ASK, options: [{ type: 3, name: 'a' }] }], 'description'],
    [
      'a required option after an optional one',
      [{ ...ASK, options: [option, { ...option, name: 'b', required: true }] }],
      'after an optional one',
    ],
    ['two options of one name', [{ ...ASK, options: [option, option] }], 'two options'],
    ['two commands of one name', [ASK, ASK], 'two commands'],
    [
      'choices with autocomplete',
      [{ ...ASK, options: [{ ...option, autocomplete: true, choices: [{ name: 'a', value: 'a' }] }] }],
      'exclude each other',
    ],
    [
      'two choices of one name',
      [
        {
          ...ASK,
          options: [
            {
              ...option,
              choices: [
                { name: 'a', value: 'a' },
                { name: 'a', value: 'b' },
              ],
            },
          ],
        },
      ],
      'two choices',
    ],
    [
      'a choice of 101 characters',
      [{ ...ASK, options: [{ ...option, choices: [{ name: 'a', value: 'x'.repeat(101) }] }] }],
      '100 characters',
    ],
    ['26 choices', [{ ...ASK, options: [{ ...option, choices: many(26).map((_, i) => ({ name: `${i}`, value: `${i}` })) }] }], '25 items'],
    ['26 options', [{ ...ASK, options: many(26) }], '25 items'],
    ['an unknown property', [{ ...ASK, colour: 'red' }], 'additional properties: colour'],
    ['an unknown property of an option', [{ ...ASK, options: [{ ...option, hint: 'x' }] }], 'additional properties: hint'],
    ['a type that is none', [{ ...ASK, options: [{ ...option, type: 12 }] }], ''],
    ['101 commands', Array.from({ length: 101 }, (_, i) => ({ ...ASK, name: `c${i}` })), '100 are allowed'],
    [
      'more than 8000 characters in one command',
      [
        {
          name: 'ask',
          description: 'x',
          options: Array.from({ length: 3 }, (_, s) => ({
            type: 1,
            name: `s${s}`,
            description: 'x',
            options: many(25).map((o) => ({ ...o, description: 'y'.repeat(100), choices: [{ name: 'z'.repeat(10), value: 'z' }] })),
          })),
        },
      ],
      '8000 are allowed',
    ],
    ['subcommands beside options', [{ ...ASK, options: [option, { type: 1, name: 'sub', description: 'x' }] }], 'mixed'],
    ['something that is no list', ASK, 'list of commands'],
  ];
  test.each(refused)('%s', async (_, commands, why) => {
    const before = discord.refusals.length;
    const answer = await register(commands);
    expect(answer).toMatchObject({ status: 400, code: 50035 });
    expect(answer.words).toContain(why);
    expect(discord.refusals.length).toBeGreaterThan(before);
    expect(discord.commands().map(({ name }) => name)).toEqual(['ask']);
  });

  test('and those that it takes', async () => {
    expect((await register([{ ...ASK, options: many(25) }])).status).toBe(200);
    expect((await register(Array.from({ length: 100 }, (_, i) => ({ ...ASK, name: `c${i}` })))).status).toBe(200);
    expect((await register([{ ...ASK, name: 'größe-ride_2' }])).status).toBe(200);
    expect((await register([ASK])).status).toBe(200);
  });

  test('a wrong token, a server without the bot, a route that is none', async () => {
    const path = `/applications/${discord.applicationId}/guilds/${discord.guild.id}/commands`;
    expect(await call('PUT', path, [ASK], { token: 'x' })).toMatchObject({ status: 401, code: 0 });
    expect(await call('GET', '/gateway/bot', null, { token: 'x' })).toMatchObject({ status: 401 });
    expect(await call('PUT', path.replace(discord.guild.id, '1'), [ASK])).toMatchObject({ status: 403, code: 50001 });
    expect(await call('GET', '/users/@me', null)).toMatchObject({ status: 404 });
  });
});

describe('first answers', () => {
  const ask = (): { id: string; token: string; path: string; exchange: ReturnType<Double['ask']> } => {
    const exchange = discord.ask({ command: 'ask', options: { what: 'x' } });
    return { id: exchange.id, token: exchange.token, path: `/interactions/${exchange.id}/${exchange.token}/callback`, exchange };
  };
  const button = (id: string): object => ({ type: 2, style: 1, label: 'x', custom_id: id });
  const row = (...components: object[]): object => ({ type: 1, components });
  const input = (id: string): object => ({ type: 18, label: 'x', component: { type: 4, style: 1, custom_id: id } });

  const refused: readonly (readonly [string, unknown, string])[] = [
    ['no type', {}, 'no such type'],
    ['an unknown type', { type: 3 }, 'no such type'],
    ['an empty message', { type: 4, data: { content: ' ' } }, 'empty message'],
    ['no message', { type: 4 }, 'empty message'],
    ['2001 characters', { type: 4, data: { content: 'x'.repeat(2001) } }, '2000 characters'],
    ['a number for content', { type: 4, data: { content: 5 } }, 'string'],
    ['an unknown property', { type: 4, data: { content: 'x', ephemeral: true } }, 'additional properties: ephemeral'],
    ['a file that is not there', { type: 4, data: { content: 'x', attachments: [{ id: '0' }] } }, 'no file 0'],
    [
      'an alt text of 1025 characters',
      { type: 4, data: { content: 'x', attachments: [{ id: '0', description: 'x'.repeat(1025) }] } },
      '1024',
    ],
    ['a flag that a message cannot have', { type: 4, data: { content: 'x', flags: 128 } }, 'flags'],
    ['a deferral with words', { type: 5, data: { content: 'x' } }, 'carries no message'],
    ['an unknown mention rule', { type: 4, data: { content: 'x', allowed_mentions: { parse: ['all'] } } }, '/data/allowed_mentions'],
    ['six rows', { type: 4, data: { content: 'x', components: Array.from({ length: 6 }, (_, i) => row(button(`${i}`))) } }, '5 rows'],
    [
      'six buttons in a row',
      { type: 4, data: { content: 'x', components: [row(...Array.from({ length: 6 }, (_, i) => button(`${i}`)))] } },
      '5 items',
    ],
    ['two buttons of one id', { type: 4, data: { content: 'x', components: [row(button('a'), button('a'))] } }, 'two components'],
    ['a custom_id of 101 characters', { type: 4, data: { content: 'x', components: [row(button('a'.repeat(101)))] } }, '100 characters'],
    ['components V2 with content', { type: 4, data: { content: 'x', flags: 1 << 15, components: [{ type: 10, content: 'x' }] } }, 'V2'],
    [
      'a form of six inputs',
      { type: 9, data: { custom_id: 'a', title: 'x', components: Array.from({ length: 6 }, (_, i) => input(`${i}`)) } },
      '5 components',
    ],
    ['a form with a title of 46 characters', { type: 9, data: { custom_id: 'a', title: 'x'.repeat(46), components: [input('a')] } }, '45'],
    ['two inputs of one id', { type: 9, data: { custom_id: 'a', title: 'x', components: [input('a'), input('a')] } }, 'two inputs'],
    ['suggestions for a command', { type: 8, data: { choices: [] } }, 'does not fit'],
    ['an update where there is no message', { type: 7, data: { content: 'x' } }, 'does not fit'],
  ];
  test.each(refused)('%s is refused, and the question stays open', async (_, body, why) => {
    const { path, exchange } = ask();
    const answer = await call('POST', path, body);
    expect(answer.status).toBe(400);
    expect(answer.words).toContain(why);
    expect(exchange.acknowledged).toBe(null);
    expect((await call('POST', path, { type: 4, data: { content: 'x' } })).status).toBe(204);
  });

  test('a form with a label of 46 characters is refused, one with 45 opens', async () => {
    const { path, exchange } = ask();
    const form = (label: string): object => ({ type: 9, data: { custom_id: 'a', title: 'x', components: [{ ...input('a'), label }] } });
    expect((await call('POST', path, form('x'.repeat(46)))).status).toBe(400);
    expect((await call('POST', path, form('x'.repeat(45)))).status).toBe(204);
    expect((await exchange.seen).form).toMatchObject({ custom_id: 'a' });
  });

  test('suggestions: 26, or one of 101 characters, or a number, are refused', async () => {
    const bodies: readonly unknown[] = [
      Array.from({ length: 26 }, (_, i) => ({ name: `${i}`, value: `${i}` })),
      [{ name: 'x', value: 'x'.repeat(101) }],
      [{ name: 'x', value: 5 }],
      [{ name: '', value: 'x' }],
    ];
    const asked = discord.suggest({ command: 'ask', options: { what: '' }, focused: 'what' });
    await new Promise((resolve) => setTimeout(resolve, 20));
    const heard = told.at(-1);
    const path = `/interactions/${heard?.id}/${heard?.token}/callback`;
    for (const choices of bodies) expect((await call('POST', path, { type: 8, data: { choices } })).status).toBe(400);
    expect((await call('POST', path, { type: 4, data: { content: 'x' } })).status).toBe(400);
    expect((await call('POST', path, { type: 8, data: { choices: [{ name: 'x', value: 'x' }] } })).status).toBe(204);
    expect(await asked).toEqual([{ name: 'x', value: 'x' }]);
  });

  test('a file of more than 10 MiB is refused', async () => {
    const { path } = ask();
    const answer = await call('POST', path, { type: 4, data: { content: 'x' } }, { files: { 0: 'x'.repeat(10 * 1024 * 1024 + 1) } });
    expect(answer).toMatchObject({ status: 413, code: 40005 });
  });

  test('the second answer, a wrong token and an answer after 3 s are refused', async () => {
    const { path, id, exchange } = ask();
    expect(await call('POST', `/interactions/${id}/x/callback`, { type: 5 })).toMatchObject({ status: 404, code: 10062 });
    expect((await call('POST', path, { type: 5 })).status).toBe(204);
    expect(await call('POST', path, { type: 5 })).toMatchObject({ status: 400, code: 40060 });
    expect(exchange.loading).toBe(true);
    const late = ask();
    await expect(late.exchange.seen).rejects.toThrow('The application did not respond');
    expect(await call('POST', late.path, { type: 5 })).toMatchObject({ status: 404, code: 10062 });
  });

  test('before the first answer there is nothing to edit; afterwards an edit brings words and picture, and keeps what it does not name', async () => {
    const { path, token, exchange } = ask();
    const original = `/webhooks/${discord.applicationId}/${token}/messages/@original`;
    expect(await call('PATCH', original, { content: 'x' })).toMatchObject({ status: 404, code: 10015 });
    await call('POST', path, { type: 5, data: { flags: 64 } });
    expect(await call('PATCH', original, { content: 'x', flags: 64 })).toMatchObject({ status: 400 });
    expect(await call('PATCH', original, { content: '' })).toMatchObject({ status: 400, code: 50006 });
    await call('PATCH', original, { content: 'words', attachments: [{ id: '0', description: 'alt' }] }, { files: { 0: 'picture' } });
    expect(exchange.now).toMatchObject({ content: 'words', private: true, attachments: [{ description: 'alt', filename: '0.png' }] });
    expect(Buffer.from(exchange.now!.attachments[0]!.bytes).toString()).toBe('picture');
    await call('PATCH', original, { content: 'other words' });
    expect(exchange.now).toMatchObject({ content: 'other words', attachments: [{ description: 'alt' }] });
    await call('PATCH', original, { attachments: [] });
    expect(exchange.now).toMatchObject({ content: 'other words', attachments: [] });
    expect((await call('DELETE', original, undefined)).status).toBe(204);
    expect(await call('PATCH', original, { content: 'x' })).toMatchObject({ status: 404, code: 10008 });
  });

  test('a follow-up while "thinking" takes the place of the deferral, and stays as private as that was', async () => {
    const { path, token, exchange } = ask();
    const webhook = `/webhooks/${discord.applicationId}/${token}`;
    await call('POST', path, { type: 5, data: { flags: 64 } });
    await call('POST', webhook, { content: 'first' });
    expect(exchange.now).toMatchObject({ content: 'first', private: true });
    expect(exchange.followUps).toEqual([]);
    await call('POST', webhook, { content: 'second' });
    expect(exchange.followUps).toMatchObject([{ content: 'second', private: false }]);
    expect(await call('POST', webhook, { content: '' })).toMatchObject({ status: 400, code: 50006 });
    expect(await call('POST', webhook, { content: 'x', nick: 'x' })).toMatchObject({ status: 400, code: 50035 });
  });

  test('mentions ring, unless the message says otherwise', async () => {
    const content = '@everyone <@1234567890123456789>';
    const say = async (data: object): Promise<readonly string[]> => {
      const { path, exchange } = ask();
      await call('POST', path, { type: 4, data });
      return (await exchange.seen).pings;
    };
    expect(await say({ content })).toHaveLength(2);
    expect(await say({ content, allowed_mentions: { parse: [] } })).toEqual([]);
    expect(await say({ content, allowed_mentions: { parse: ['everyone'] } })).toEqual(['@everyone']);
    expect(await say({ content, allowed_mentions: { parse: [], users: ['1234567890123456789'] } })).toEqual(['<@1234567890123456789>']);
  });

  test('a member cannot send what the command does not have', () => {
    expect(() => discord.ask({ command: 'asks' })).toThrow('not registered');
    expect(() => discord.ask({ command: 'ask', options: { who: 'x' } })).toThrow('no option');
    expect(() => discord.ask({ command: 'ask sub' })).toThrow('no subcommand');
  });
});

describe('the gateway', () => {
  const shut = (first: unknown): Promise<number> =>
    new Promise((resolve) => {
      const other = new WebSocket(`${discord.api.replace('http', 'ws').replace('/api', '')}/gateway`);
      other.on('open', () => other.send(typeof first === 'string' ? first : JSON.stringify(first)));
      other.on('close', (code) => resolve(code));
    });

  test('closes on a wrong token, on intents that were not granted, on rubbish', async () => {
    expect(await shut({ op: 2, d: { token: 'x', intents: 1 } })).toBe(4004);
    expect(await shut({ op: 2, d: { token: discord.token, intents: 1 << 15 } })).toBe(4014);
    expect(await shut({ op: 6, d: { token: 'x', session_id: 'x', seq: 1 } })).toBe(4004);
    expect(await shut({ op: 77 })).toBe(4001);
    expect(await shut('{')).toBe(4002);
  });
});
