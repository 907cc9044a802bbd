import { connect, type Socket } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type OpenBench, openBench, words, YOU } from './open-bench.ts';

let bench: OpenBench;
beforeAll(async () => {
  bench = await openBench();
});
afterAll(() => bench?.stop());

const FOUR = 'front_left=612&front_right=605&rear_left=901&rear_right=896';
const FORM = 'application/x-www-form-urlencoded';
const kept = async (truck: string): Promise<number> => (await bench.archive.latest({ club: YOU.club, member: YOU.member, truck })).length;

/** Bytes as they are, and all that comes back until the line is cut. */
function raw(port: number, bytes: string, { keep = false } = {}): Promise<string> {
  return new Promise((done, failed) => {
    const socket = connect(port, '127.0.0.1');
    let heard = '';
    socket.on('data', (piece) => {
      heard += piece.toString('latin1');
    });
    socket.on('error', (error) => (heard === '' ? failed(error) : done(heard)));
    socket.on('close', () => done(heard));
    socket.write(bytes);
    if (!keep) socket.end();
  });
}
const opened = (port: number): Promise<Socket> =>
  new Promise((ready, failed) => {
    const socket = connect(port, '127.0.0.1', () => ready(socket));
    socket.on('error', failed);
  });

describe('every answer', () => {
  it('forbids script, frames and anything from elsewhere, and guessing what it is', async () => {
    const answers = await Promise.all(
      ['/', '/sheets/corners', '/style.css', '/icon.svg', '/nowhere', `/card/corners.png?${FOUR}`, '/setups/9', '/sheets/'].map((path) =>
        bench.get(path),
      ),
    );
    for (const { headers } of [...answers, await bench.post('/sheets/corners', FOUR), await bench.ask('PUT', '/')]) {
      const policy = headers['content-security-policy']!;
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).toContain("form-action 'self'");
      expect(policy).not.toMatch(/unsafe|script-src|https?:|\*/);
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['x-frame-options']).toBe('DENY');
    }
  });

  it('asks for nothing from elsewhere', async () => {
    for (const path of ['/', '/sheets/corners', `/sheets/corners?${FOUR}`, '/help', '/setups', '/style.css', '/icon.svg']) {
      const { html } = await bench.get(path);
      const elsewhere = html.match(/(?:src|href|srcset|action)="(?!\/|#)[^"]*"|url\(|@import|<script|\sstyle="/g);
      expect([path, elsewhere]).toEqual([path, null]);
    }
  });

  it('to HEAD is that to GET without its body', async () => {
    for (const path of ['/', `/sheets/corners?${FOUR}`, `/card/corners.png?${FOUR}`, '/style.css', '/nowhere']) {
      const [get, head] = [await bench.get(path), await bench.ask('HEAD', path)];
      expect([path, head.status, head.bytes.length, head.headers['content-length']]).toEqual([
        path,
        get.status,
        0,
        String(get.bytes.length),
      ]);
    }
  });
});

describe('who may ask', () => {
  it('names the bench and its port, and nobody else’s', async () => {
    const { port } = bench;
    for (const host of [`127.0.0.1:${port}`, `localhost:${port}`, `LOCALHOST:${port}`, `[::1]:${port}`])
      expect([host, (await bench.ask('GET', '/', { headers: { host } })).status]).toEqual([host, 200]);
    const others = [
      'evil.example',
      `evil.example:${port}`,
      '127.0.0.1',
      '127.0.0.1:1',
      `127.0.0.1.evil.example:${port}`,
      `localhost.evil:${port}`,
    ];
    for (const host of [...others, `user@127.0.0.1:${port}`, `127.0.0.1:${port}:80`, `0.0.0.0:${port}`]) {
      const refused = await bench.ask('GET', `/sheets/corners?${FOUR}`, { headers: { host } });
      expect([host, refused.status, refused.html]).toEqual([host, 421, `This bench answers at http://127.0.0.1:${port}/ only.\n`]);
    }
    expect(await raw(port, 'GET / HTTP/1.0\r\n\r\n')).toMatch(/^HTTP\/1\.1 421 /);
    expect(await raw(port, 'GET / HTTP/1.1\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 /);
  });

  it('bound to all addresses, answers at the one that was called and still at no borrowed name', async () => {
    const open = await openBench({ host: '0.0.0.0' });
    try {
      expect(open.url).toBe(`http://127.0.0.1:${open.port}`);
      expect((await open.get('/')).status).toBe(200);
      expect((await open.ask('GET', '/', { headers: { host: `evil.example:${open.port}` } })).status).toBe(421);
    } finally {
      await open.stop();
    }
  });

  it('posts from its own pages only', async () => {
    const own = bench.url;
    const post = (truck: string, headers: Record<string, string>) =>
      bench.ask('POST', '/sheets/corners', { headers: { 'content-type': FORM, ...headers }, body: `${FOUR}&truck=${truck}` });
    const refused: readonly Record<string, string>[] = [
      { origin: 'https://evil.example' },
      { origin: 'null' },
      { origin: `http://localhost:${bench.port}` },
      { origin: own.replace('http:', 'https:') },
      { 'sec-fetch-site': 'cross-site' },
      // Another port of this machine is the same site and a stranger all the same.
      { 'sec-fetch-site': 'same-site', origin: own },
      { referer: 'http://127.0.0.1:1/' },
      { referer: 'no address' },
    ];
    for (const [i, headers] of refused.entries()) {
      const answer = await post(`Forged${i}`, headers);
      expect([headers, answer.status, await kept(`Forged${i}`)]).toEqual([headers, 403, 0]);
    }
    for (const [i, headers] of [
      {},
      { origin: own },
      { origin: own, 'sec-fetch-site': 'same-origin' },
      { referer: `${own}/sheets/corners` },
    ].entries())
      expect([headers, (await post(`Own${i}`, headers as Record<string, string>)).status, await kept(`Own${i}`)]).toEqual([
        headers,
        303,
        1,
      ]);
    for (const path of ['/line', '/setups'])
      expect(
        (await bench.ask('POST', path, { headers: { 'content-type': FORM, origin: 'http://evil.example' }, body: 'line=corners 1 2 3 4' }))
          .status,
      ).toBe(403);
  });
});

describe('what may be asked', () => {
  it('is a form of at most 64 KiB', async () => {
    const just = await bench.post('/sheets/corners', `${FOUR}&truck=Fits&x=`.padEnd(64 * 1024, 'y'));
    expect(just.status).toBe(422);
    for (const size of [64 * 1024 + 1, 3_000_000]) {
      const more = await bench.post('/sheets/corners', `${FOUR}&truck=Fat&x=`.padEnd(size, 'y'));
      expect([more.status, words(more.html)]).toEqual([413, expect.stringContaining('That is more than 64 KiB. Give less.')]);
    }
    expect(await kept('Fat')).toBe(0);
    const piece = 'z'.repeat(0x4000);
    const chunked = await raw(
      bench.port,
      `POST /sheets/corners HTTP/1.1\r\nHost: 127.0.0.1:${bench.port}\r\nContent-Type: ${FORM}\r\nTransfer-Encoding: chunked\r\n\r\n${`4000\r\n${piece}\r\n`.repeat(5)}`,
      { keep: true },
    );
    expect(chunked).toMatch(/^HTTP\/1\.1 413 /);
    // What says how long it will be is refused before it comes.
    const announced = await raw(
      bench.port,
      `POST /line HTTP/1.1\r\nHost: 127.0.0.1:${bench.port}\r\nContent-Type: ${FORM}\r\nContent-Length: 10000000\r\n\r\n`,
      { keep: true },
    );
    expect(announced).toMatch(/^HTTP\/1\.1 413 /);
    expect((await bench.get('/')).status).toBe(200);
  });

  it('has no more fields than a sheet could have', async () => {
    const many = Array.from({ length: 401 }, (_, i) => `a${i}=1`).join('&');
    expect((await bench.post('/sheets/corners', many)).status).toBe(413);
    expect((await bench.get(`/sheets/corners?${many}`)).status).toBe(413);
  });

  it('is no other kind of body', async () => {
    for (const type of ['application/json', 'text/plain', 'multipart/form-data; boundary=x', ''])
      expect((await bench.ask('POST', '/sheets/corners', { headers: { 'content-type': type }, body: FOUR })).status).toBe(415);
  });

  it('is asked in the way that the page takes', async () => {
    const ways: readonly (readonly [string, string, string])[] = [
      ['PUT', '/', 'GET, HEAD'],
      ['DELETE', '/setups/1', 'GET, HEAD'],
      ['POST', '/help', 'GET, HEAD'],
      ['POST', `/card/corners.png?${FOUR}`, 'GET, HEAD'],
      ['PATCH', '/sheets/corners', 'GET, HEAD, POST'],
      ['OPTIONS', '/line', 'GET, HEAD, POST'],
    ];
    for (const [method, path, allow] of ways) {
      const answer = await bench.ask(method, path);
      expect([method, path, answer.status, answer.headers.allow]).toEqual([method, path, 405, allow]);
    }
  });

  it('lies at one spelling of its address, and no spelling leads out', async () => {
    const to = async (path: string) => {
      const { status, headers } = await bench.ask('GET', path);
      return [status, headers.location];
    };
    expect(await to('/sheets/corners/?x=1')).toEqual([308, '/sheets/corners?x=1']);
    expect(await to('//sheets//corners')).toEqual([308, '/sheets/corners']);
    expect(await to('/help/../sheets/./corners')).toEqual([308, '/sheets/corners']);
    expect(await to('/%73heets/corners')).toEqual([308, '/sheets/corners']);
    expect(await to('/sheets/Corners?front_left=1')).toEqual([308, '/sheets/corners?front_left=1']);
    expect(await to('//evil.example/')).toEqual([404, undefined]);
    expect(await to('/sheets')).toEqual([303, '/']);
    for (const path of [
      '/../../etc/passwd',
      '/style.css/../../../package.json',
      '/%2e%2e/%2e%2e/package.json',
      '/..%2fpackage.json',
      '/\\evil.example',
      '/%00',
      '/%',
      '/sheets/%ff',
      '/sheets/corners/more',
      '/__proto__',
      '/constructor',
      '/sheets/__proto__',
      '/sheets/constructor',
      'http://evil.example/',
    ])
      expect([path, (await to(path))[0]]).toEqual([path, 404]);
    expect(words((await bench.get('/nowhere')).html)).toContain('This address leads nowhere.');
    expect(words((await bench.get('/sheets/corner')).html)).toContain('Did you mean corners?');
  });

  it('with names that a program knows is only a name', async () => {
    const page = await bench.get(`/sheets/corners?${FOUR}&__proto__=1&constructor=2&toString=3`);
    expect(page.status).toBe(200);
    const slips = words(/<div id="problems"[\s\S]*?<\/div>/.exec(page.html)![0]);
    for (const name of ['__proto__', 'constructor', 'toString']) expect(slips).toContain(name);
    expect(page.html).not.toContain('id="answer"');
  });
});

describe('when something goes wrong inside', () => {
  it('the member gets one line and a reference, the log has it with the stack, and the bench goes on', async () => {
    let broken = true;
    const bad = await openBench({
      house: () => ({
        clock: () => {
          if (broken) throw new Error('the clock stands still');
          return Date.now();
        },
      }),
    });
    try {
      const page = await bad.get(`/sheets/corners?${FOUR}`);
      expect(page.status).toBe(500);
      const reference = /Reference ([0-9a-f]{8})\./.exec(words(page.html))![1]!;
      expect(words(page.html)).toContain('That did not work, and it is not your doing.');
      expect(page.html).not.toContain('the clock stands still');
      expect(page.html).not.toMatch(/\.ts:\d/);
      const noted = bad.log.find(({ line }) => line.includes(reference))!;
      expect(noted.line).toContain('GET /sheets/corners');
      expect((noted.error as Error).stack).toMatch(/the clock stands still[\s\S]*\.ts:\d/);
      broken = false;
      expect((await bad.get(`/sheets/corners?${FOUR}`)).status).toBe(200);
    } finally {
      await bad.stop();
    }
  });
});

describe('a slow client', () => {
  const patience = { head: 300, request: 600, idle: 800, between: 300, stop: 500 };

  it('with half a head, half a body or nothing at all is let go, and others are served meanwhile', async () => {
    const quick = await openBench({ patience });
    try {
      const from = performance.now();
      const host = `Host: 127.0.0.1:${quick.port}\r\n`;
      const slow = [
        raw(quick.port, `GET / HTTP/1.1\r\n${host}X-Slow: `, { keep: true }),
        raw(quick.port, `POST /sheets/corners HTTP/1.1\r\n${host}Content-Type: ${FORM}\r\nContent-Length: 100\r\n\r\nfront_left=6`, {
          keep: true,
        }),
        raw(quick.port, '', { keep: true }),
      ];
      expect((await quick.get('/')).status).toBe(200);
      const [head, body, nothing] = await Promise.all(slow);
      expect(performance.now() - from).toBeLessThan(4_000);
      expect(head).toMatch(/^HTTP\/1\.1 408 /);
      expect(body).toMatch(/^HTTP\/1\.1 408 /);
      expect(nothing).not.toMatch(/200/);
      // None of it is a fault of the house.
      expect(quick.log).toEqual([]);
    } finally {
      await quick.stop();
    }
  });

  it('with half a head is let go sooner than one with half a form', async () => {
    const quick = await openBench({ patience: { ...patience, request: 20_000, idle: 20_000 } });
    try {
      const from = performance.now();
      expect(await raw(quick.port, 'GET / HTTP/1.1\r\nX-Slow: ', { keep: true })).toMatch(/^HTTP\/1\.1 408 /);
      expect(performance.now() - from).toBeLessThan(3_000);
    } finally {
      await quick.stop();
    }
  });

  it('that trickles a body byte by byte is let go all the same', async () => {
    const quick = await openBench({ patience });
    try {
      const socket = await opened(quick.port);
      socket.on('error', () => {});
      socket.resume();
      socket.write(
        `POST /sheets/corners HTTP/1.1\r\nHost: 127.0.0.1:${quick.port}\r\nContent-Type: ${FORM}\r\nContent-Length: 1000\r\n\r\n`,
      );
      const drip = setInterval(() => socket.write('a'), 100);
      const from = performance.now();
      await new Promise((closed) => socket.once('close', closed));
      clearInterval(drip);
      expect(performance.now() - from).toBeLessThan(3_000);
    } finally {
      await quick.stop();
    }
  });
});

describe('coming and going', () => {
  it('a taken port is said in one line', async () => {
    await expect(openBench({ port: bench.port })).rejects.toThrow(
      new Error(`PORT: ${bench.port} is taken. Give another, or 0 for any free one.`),
    );
    await expect(openBench({ host: '192.0.2.1' })).rejects.toThrow(/^HOST: "192\.0\.2\.1" is no address of this machine\./);
  });

  it('stops at once although browsers keep their lines open', async () => {
    const other = await openBench();
    const idle = await opened(other.port);
    const used = await opened(other.port);
    const gone = [idle, used].map((socket) => new Promise((closed) => socket.once('close', closed)));
    const first = new Promise<string>((heard) => used.once('data', (piece) => heard(piece.toString('latin1'))));
    used.write(`GET /icon.svg HTTP/1.1\r\nHost: 127.0.0.1:${other.port}\r\n\r\n`);
    expect(await first).toContain('Connection: keep-alive');
    const from = performance.now();
    await other.stop();
    await Promise.all(gone);
    expect(performance.now() - from).toBeLessThan(2_000);
    await expect(other.get('/')).rejects.toThrow(/ECONNREFUSED/);
  });

  it('lets an answer under way arrive before it stops', async () => {
    const other = await openBench();
    const body = `${FOUR}&truck=Late`;
    const socket = await opened(other.port);
    const heard = new Promise<string>((done) => {
      let all = '';
      socket.on('data', (piece) => {
        all += piece.toString('latin1');
      });
      socket.on('close', () => done(all));
    });
    socket.write(
      `POST /sheets/corners HTTP/1.1\r\nHost: 127.0.0.1:${other.port}\r\nContent-Type: ${FORM}\r\nContent-Length: ${body.length}\r\n\r\n${body.slice(0, 20)}`,
    );
    await new Promise((go) => setTimeout(go, 100));
    const stopped = other.stop();
    await new Promise((go) => setTimeout(go, 100));
    socket.write(body.slice(20));
    expect(await heard).toMatch(/^HTTP\/1\.1 303 [\s\S]*Connection: close/);
    await stopped;
  });
});
