/**
 * Every cell of the table of rights on the bench, over HTTP: whoever sits there is one member, who takes each place in turn. Every act exists here,
 * since each page leads to the line; what has a page of its own is looked at there too, and what a page has a form for is done by that form as well.
 */
import { expect } from 'vitest';
import { startBench } from '../../../bot/transports/bench/index.ts';
import { CAST, castWith, everyCell, type Face, LOCAL, shelfOfTests } from '../rights.ts';
import { words } from './open-bench.ts';

/** `forms`: what a page has a form for is done by it, not by the line. */
const onTheBench = (forms: boolean): Pick<Face, 'castFor' | 'open'> => ({
  castFor: (standing) => castWith(LOCAL, standing),
  async open({ archive, clock }) {
    const faults: unknown[] = [];
    const log = (_: string, error?: unknown): void => void (error !== undefined && faults.push(error));
    const bench = await startBench({
      house: { sheets: await shelfOfTests(), archive, cards: null, clock, zone: 'Europe/Lisbon', theme: 'dark', log },
      asker: LOCAL,
      host: '127.0.0.1',
      port: 0,
      log,
    });
    const read = async (response: Response): Promise<string> => {
      const text = await response.text();
      return response.headers.get('content-type')?.startsWith('text/html') ? words(text) : text;
    };
    const get = async (path: string): Promise<string> => read(await fetch(`${bench.url}${path}`));
    const post = async (path: string, body: FormData | URLSearchParams): Promise<string> =>
      read(await fetch(`${bench.url}${path}`, { method: 'POST', body, headers: { origin: bench.url } }));
    return {
      async say(line, _, file) {
        let heard: string;
        const form = formOf(line);
        if (file) {
          const data = new FormData();
          const bytes = new Uint8Array(await file.bytes(Number.POSITIVE_INFINITY));
          data.append('file', new File([bytes], file.name, { type: file.type }));
          const truck = /truck:(\S+)/.exec(line)?.[1];
          if (truck) data.append('truck', truck);
          const picture = /^setup picture (\d+)$/.exec(line)?.[1];
          heard = await post(picture ? `/setups/${picture}/pictures` : '/setups/import', data);
        } else if (forms && form) heard = await post(form.to, new URLSearchParams(form.fields));
        else heard = await post('/line', new URLSearchParams({ line }));
        for (const path of pagesOf(line)) heard += `\n${await get(path)}`;
        // The file of a picture is there for whom the page speaks of it, and for nobody else.
        const shown = file ? undefined : /^setup picture (\d+)$/.exec(line)?.[1];
        if (shown) expect((await fetch(`${bench.url}/setups/${shown}/pictures/1.webp`)).ok).toBe(heard.includes('1 picture'));
        if (faults.length > 0) throw faults[0];
        return heard;
      },
      stop: () => bench.stop(),
    };
  },
});

everyCell('on the bench', onTheBench(false));
// The other acts have no form: restoring, sharing, hiding, handing over, things, runs, officers and what is one's own go by the line alone.
everyCell('by the forms of the bench', { ...onTheBench(true), acts: ['change setup', 'change truck', 'see things'] });

/** The form of a page that does the same as a line. */
function formOf(line: string): { readonly to: string; readonly fields: Readonly<Record<string, string>> } | null {
  const [, kept, truck] = /^(keep|truck refresh) truck:(\w+)$/.exec(line) ?? [];
  if (kept) return { to: `/trucks/${truck}`, fields: { act: kept.split(' ').at(-1)! } };
  const [, facts, told] = /^truck set (.*) truck:(\w+)$/.exec(line) ?? [];
  if (facts) return { to: `/trucks/${told}`, fields: { act: 'set', facts } };
  const [, name, saved] = /^setup save (\w+) truck:(\w+)$/.exec(line) ?? [];
  if (name) return { to: '/setups', fields: { name, truck: saved! } };
  const [, setup, number] = /^setup picture (\d+) remove:(\d)$/.exec(line) ?? [];
  if (setup) return { to: `/setups/${setup}/pictures/${number}`, fields: {} };
  const [, row, weighed] = /^corners (.*) truck:(\w+)$/.exec(line) ?? [];
  const corners = row?.split(' ');
  if (corners)
    return {
      to: '/sheets/corners',
      fields: { front_left: corners[0]!, front_right: corners[1]!, rear_left: corners[2]!, rear_right: corners[3]!, truck: weighed! },
    };
  return null;
}

/** Addresses that say the same as a line. */
function pagesOf(line: string): readonly string[] {
  const [, what, id] = /^setup (show|export|history|picture) (\d+)$/.exec(line) ?? [];
  if (what === 'show') return [`/setups/${id}`, `/setups/${id}/card.png`];
  if (what === 'export') return ['json', 'md', 'csv'].map((ending) => `/setups/${id}/setup.${ending}`);
  if (what === 'picture') return [`/setups/${id}`];
  if (line.startsWith('setup compare')) return [`/setups/compare?setups=${line.split(' ').slice(2).join('+')}`];
  const [, truck, whose] = /^truck show (\w+) of:(\w+)/.exec(line) ?? [];
  if (truck) return [`/trucks/${truck}?of=${whose === LOCAL.memberName ? LOCAL.member : CAST.owner.member}`];
  if (line.startsWith('setup find')) return [`/setups?words=${line.slice(11)}`];
  return [];
}
