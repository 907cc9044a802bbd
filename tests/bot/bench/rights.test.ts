/**
 * Every cell of the table of rights on the bench, over HTTP: whoever sits there is one member, who takes each place in turn. What has a page of
 * its own is asked there too.
 */
import { startBench } from '../../../bot/transports/bench/index.ts';
import { castWith, everyCell, LOCAL, shelfOfTests } from '../rights.ts';
import { words } from './open-bench.ts';

everyCell('on the bench', {
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
        if (file) {
          const form = new FormData();
          const bytes = new Uint8Array(await file.bytes(Number.POSITIVE_INFINITY));
          form.append('file', new File([bytes], file.name, { type: file.type }));
          const truck = /truck:(\S+)/.exec(line)?.[1];
          if (truck) form.append('truck', truck);
          const picture = /^setup picture (\d+)$/.exec(line)?.[1];
          heard = await post(picture ? `/setups/${picture}/pictures` : '/setups/import', form);
        } else heard = await post('/line', new URLSearchParams({ line }));
        for (const path of pagesOf(line)) heard += `\n${await get(path)}`;
        if (faults.length > 0) throw faults[0];
        return heard;
      },
      stop: () => bench.stop(),
    };
  },
});

/** Addresses that say the same as a line. */
function pagesOf(line: string): readonly string[] {
  const [, what, id] = /^setup (show|export|history|picture) (\d+)$/.exec(line) ?? [];
  if (what === 'show') return [`/setups/${id}`, `/setups/${id}/card.png`];
  if (what === 'export') return ['json', 'md', 'csv'].map((ending) => `/setups/${id}/setup.${ending}`);
  if (what === 'picture') return [`/setups/${id}`];
  if (line.startsWith('setup compare')) return [`/setups/compare?setups=${line.split(' ').slice(2).join('+')}`];
  if (line.startsWith('setup find')) return [`/setups?words=${line.slice(11)}`];
  return [];
}
