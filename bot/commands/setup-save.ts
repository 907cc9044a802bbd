/** setup save: the truck as it is now under a name. Stale answers are asked again first: no revision holds an answer beside readings that it is not of. */
import { writer } from '../../templates/truck.ts';
import { titleOf } from '../../templates/words.ts';
import type { Records, SavedSetup, SaveSetup, SetupSummary, SheetRecord } from '../../worksheets/archive/types.ts';
import { conditionsIn, temperatureSlip } from './conditions.ts';
import { knownOf } from './known.ts';
import { nearlyCalled } from './nearly-called.ts';
import { oneOf, type Pit, refused, truckFor, words } from './pit.ts';
import { renewed, staleOf } from './standing.ts';
import type { Message, Reply } from './types.ts';
import { whose } from './whose.ts';

export const listed = (text: string): string[] =>
  text
    .split(/[,;]/)
    .map((tag) => tag.trim())
    .filter(Boolean);

export async function save({ face, clock, shelf }: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const hidden = oneOf('private', options.private, ['yes', 'no']);
  if (typeof hidden === 'object') return refused(face, [hidden]);
  const slip = temperatureSlip(options);
  if (slip) return refused(face, [slip]);
  const { club, member } = asker;
  const truck = await truckFor(records, { options, asker });
  const conditions = conditionsIn(options);
  const name = options.name?.trim();
  const book = await records.truckBook({ club, member, truck });
  const stale = book.kind === 'truck' ? staleOf(shelf, book.latest, knownOf(book.facts, book.parts)) : [];
  const again = book.kind === 'truck' ? stale.flatMap((one) => renewed(one, book) ?? []) : [];
  const broken = stale.flatMap(({ record, now }) => (now === null ? [record] : []));
  const what: SaveSetup = {
    club,
    member,
    truck,
    ...(name ? { name } : { name: `best of ${face.day(clock()).replace(/ \d{4}$/, '')}`, fresh: true }),
    ...(options.notes === undefined ? {} : { notes: options.notes }),
    ...(options.tags === undefined ? {} : { tags: listed(options.tags) }),
    ...(conditions === undefined ? {} : { conditions }),
    ...(hidden === undefined ? {} : { private: hidden === 'yes' }),
    renewed: again,
    without: broken.map(({ sheet, end }) => ({ sheet, end })),
  };
  const saved = await records.saveSetup(what);
  if (saved.kind === 'problems') return refused(face, saved.problems);
  if (saved.kind === 'conflict') return words(saved.text, 'private');
  // Only now: what is refused changes nothing.
  if (again.length > 0) {
    const done = await records.renewAnswers({ ...whose(asker), truck, records: again });
    if (done.kind === 'problems') return refused(face, done.problems);
  }
  const which = saved.rev > 1 ? ` as revision ${saved.rev}` : '';
  const only = saved.private ? ', for you only' : '';
  const kept = `Kept "${face.safe(saved.name)}" of ${face.safe(saved.truck)}${which}${only}, number ${saved.id}: ${saved.sheets.join(', ')}. Show it again: setup show ${saved.id}`;
  const { safe } = writer({ for: face.format });
  const like = saved.rev === 1 && name ? await nearlySame(records, asker, saved) : undefined;
  const remarks = [...savingRemarks(again, broken), ...otherRemarks(saved, like)].map((text) => safe(text, 400));
  return {
    ...words([kept, ...remarks].join('\n'), saved.private ? 'private' : 'public'),
    setup: saved.id,
    ...(remarks.length > 0 ? { remarks } : {}),
  };
}

/** Of the same truck: a slip of the name, where a revision was meant. */
async function nearlySame(records: Records, { club, member }: Message['asker'], saved: SavedSetup): Promise<SetupSummary | undefined> {
  const { setups } = await records.findSetups({ club, viewer: member, words: '', facets: { truck: saved.truck }, limit: 50 });
  return setups.find(
    (one) => one.id !== saved.id && one.member.id === member && one.truck === saved.truck && nearlyCalled(saved.name, one.name),
  );
}

function otherRemarks({ id, codes = 0 }: SavedSetup, like: SetupSummary | undefined): string[] {
  return [
    ...(codes === 0 ? [] : [`${codes === 1 ? 'Its code shows' : `Its ${codes} codes show`} nothing any more.`]),
    ...(like
      ? [
          `"${like.name}" is there too, number ${like.id}. If that was meant: save it under that name, and take this one away: setup remove ${id}`,
        ]
      : []),
  ];
}

const MOST_NAMED = 8;

/** "2 answers were asked again: Ride, rear; Whoops." */
function savingRemarks(again: readonly Omit<SheetRecord, 'at'>[], broken: readonly SheetRecord[]): string[] {
  const named = (records: readonly Pick<SheetRecord, 'answer'>[]): string => {
    const titles = records.slice(0, MOST_NAMED).map(({ answer }) => titleOf(answer));
    return `${titles.join('; ')}${records.length > MOST_NAMED ? ` and ${records.length - MOST_NAMED} more` : ''}`;
  };
  return [
    ...(again.length === 0
      ? []
      : [`${again.length === 1 ? '1 answer was' : `${again.length} answers were`} asked again: ${named(again)}.`]),
    ...(broken.length === 0
      ? []
      : [`Left out, because ${broken.length === 1 ? 'it does' : 'they do'} not work out any more: ${named(broken)}. truck show says why.`]),
  ];
}
