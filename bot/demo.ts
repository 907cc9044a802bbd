/**
 * The season of an invented club, Saltpan Desert Club, played through the same code that a member's message takes. It fills a new archive, so
 * that there are trucks, runs and setups of some months to look at, and `npm run demo` plays it aloud.
 */
import type { Sheet } from '../worksheets/engine/notation.ts';
import { messageFrom } from './commands/index.ts';
import type { Asker, Commands, Reply } from './commands/types.ts';
import { DAYS, type Day } from './demo/days.ts';

export const CLUB = { club: 'saltpan', clubName: 'Saltpan Desert Club' } as const;
/** The member who sits at the terminal and the bench. */
export const LOCAL: Asker = { ...CLUB, member: 'local', memberName: 'You' };

/** A clock that can be put to another time: what is played is kept at the time at which it happened. */
export interface PlayClock {
  readonly now: () => number;
  /** null: it goes on as the one on the wall. */
  readonly put: (at: number | null) => void;
}
export function playClock(wall: () => number = Date.now): PlayClock {
  let at: number | null = null;
  return {
    now: () => at ?? wall(),
    put: (to) => {
      at = to;
    },
  };
}

export interface Stage {
  readonly commands: Commands;
  readonly sheets: ReadonlyMap<string, Sheet>;
  /** The clock that `commands` and their archive go by. */
  readonly time: PlayClock;
  /** The club's time zone. */
  readonly zone: string;
}
export interface Played {
  readonly asker: Asker;
  /** As it was typed. */
  readonly line: string;
  readonly at: number;
  /** Which tuning day, from 0; whether it is the last one. */
  readonly day: number;
  readonly last: boolean;
}

/** Plays all of it, oldest first; tells each message and its reply to whoever listens. */
export async function playSeason(
  { commands, sheets, time, zone }: Stage,
  heard: (played: Played, reply: Reply) => void | Promise<void> = () => {},
  messages: readonly Played[] = season(time.now(), zone),
): Promise<void> {
  try {
    for (const played of messages) {
      time.put(played.at);
      await heard(played, await replyTo(played, commands, sheets));
    }
  } finally {
    time.put(null);
  }
}

async function replyTo({ line, asker }: Played, commands: Commands, sheets: Stage['sheets']): Promise<Reply> {
  const read = messageFrom(line, sheets, commands.specs);
  if ('message' in read) return commands.answer({ ...read.message, asker });
  const { problems } = read;
  return { kind: 'problems', visibility: 'private', problems, text: problems.map(({ text }) => text).join('\n') };
}

/**
 * The messages at their times. The days are those of the last season that is over: a year written down here would lie ahead of whoever starts
 * before its autumn, so that the log would run backwards, and years back for whoever comes later.
 */
export function season(now: number, zone: string): readonly Played[] {
  const year = new Date(now).getUTCFullYear();
  const last = DAYS.at(-1)!;
  const over = nineIn(zone, year, last) + 86_400_000 <= now;
  return DAYS.flatMap((day, i) => {
    let at = nineIn(zone, over ? year : year - 1, day);
    return day.lines
      .trim()
      .split('\n')
      .map((text): Played => {
        const [, wait, who, line] = /^(?:\+(\d+) )?(\w+): (.*)$/.exec(text)!;
        at += (wait === undefined ? BETWEEN : Number(wait)) * 60_000;
        return {
          asker: { ...CLUB, member: `demo-${who!.toLowerCase()}`, memberName: who! },
          line: line!,
          at,
          day: i,
          last: i === DAYS.length - 1,
        };
      });
  });
}
/** Minutes from message to message, where the line says nothing else. */
const BETWEEN = 2;

/** Nine in the morning of a Saturday, by the clocks of the zone. */
function nineIn(zone: string, year: number, { month, saturday }: Pick<Day, 'month' | 'saturday'>): number {
  const first = new Date(Date.UTC(year, month - 1, 1)).getUTCDay();
  const utc = Date.UTC(year, month - 1, 1 + ((6 - first + 7) % 7) + 7 * (saturday - 1), 9);
  const wall = new Intl.DateTimeFormat('sv-SE', { timeZone: zone, dateStyle: 'short', timeStyle: 'medium' }).format(utc);
  return utc - (Date.parse(`${wall.replace(' ', 'T')}Z`) - utc);
}
