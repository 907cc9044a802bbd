/** What a revision changed against the one before: readings, parts, conditions, tags, pictures. */
import type { RevisionChange, RevisionView } from '../../templates/setup.ts';
import { asSaid, asTyped, nameWords } from '../../templates/words.ts';
import type { Conditions, End, SetupDoc, SetupHistory, SetupPart } from '../../worksheets/archive/types.ts';
import { partTexts } from './parts-changed.ts';

/** `place` is what stands in front of a reading: "corners rear, ". */
export function revisionViews({ revisions }: Pick<SetupHistory, 'revisions'>, place: (sheet: string, end: End) => string): RevisionView[] {
  return revisions.map(({ doc, before, changes, ...revision }) => ({
    ...revision,
    // Notes are carried from one revision to the next until they are written anew.
    notes: doc.notes === before?.notes ? '' : doc.notes,
    changes:
      before === null
        ? []
        : [
            ...changes.map(({ sheet, end, name, was, is, wasTyped, isTyped, unit }) => ({
              what: `${sheet === '' ? '' : place(sheet, end)}${nameWords(name)}`,
              was: readingText(was, wasTyped, unit),
              is: readingText(is, isTyped, unit),
            })),
            ...besides(before, doc),
          ],
  }));
}

function readingText(text: string | null, typed: string | undefined, unit: string | null): string {
  if (text === null) return 'not given';
  return typed === undefined ? asTyped(text, unit) : asSaid({ said: text, typed, unit });
}

function besides(was: SetupDoc, is: SetupDoc): RevisionChange[] {
  const pictures = (doc: SetupDoc): string => String(doc.pictures?.length ?? 0);
  return [
    ...partsBetween(was.parts ?? [], is.parts ?? []),
    ...differing(conditions(was.conditions), conditions(is.conditions), 'not said'),
    ...differing(new Map([['tags', was.tags.join(', ')]]), new Map([['tags', is.tags.join(', ')]]), 'none'),
    ...differing(new Map([['pictures', pictures(was)]]), new Map([['pictures', pictures(is)]]), '0'),
  ];
}

const partsBetween = (were: readonly SetupPart[], are: readonly SetupPart[]): RevisionChange[] =>
  [...new Set([...were, ...are].map(({ name }) => name))].flatMap((what) => {
    const [was, is] = partTexts([were, are].map((list) => list.find(({ name }) => name === what)));
    return was === is ? [] : [{ what, was: was ?? NOT_LISTED, is: is ?? NOT_LISTED }];
  });
const NOT_LISTED = 'not on the list';

const conditions = ({ track = '', surface = '', grip = '', temperature, wind = '' }: Conditions = {}): Map<string, string> =>
  new Map(Object.entries({ track, surface, grip, temperature: temperature?.typed ?? '', wind }));

const differing = (was: ReadonlyMap<string, string>, is: ReadonlyMap<string, string>, none: string): RevisionChange[] =>
  [...new Set([...was.keys(), ...is.keys()])].flatMap((what) => {
    const [before, after] = [was.get(what) || none, is.get(what) || none];
    return before === after ? [] : [{ what, was: before, is: after }];
  });

/** As a line names it: "ride rear, spring rate". */
export const asInALine = (sheet: string, end: End): string => `${sheet}${end === null ? '' : ` ${end}`}, `;
