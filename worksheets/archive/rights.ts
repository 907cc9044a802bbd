/**
 * Who may do what: the one table of rights. The archive asks it; docs/RIGHTS.md is held equal to it by a test, and another test tries every
 * cell through the commands.
 */

/**
 * As what somebody meets a thing of a club. `to whom`: its owner has lent or offered it to them. All but who comes from another club are members
 * as well.
 */
export const STANDINGS = ['owner', 'to whom', 'officer', 'member', 'other club'] as const;
export type Standing = (typeof STANDINGS)[number];

interface Right {
  readonly what: string;
  /** `member`: everybody in the club. */
  readonly may: readonly Standing[];
  /** What has to be said beside the yes and no. */
  readonly note?: string;
}

const OF_THAT_NAME = 'Who names the truck of another speaks of one of their own by that name; with of:MEMBER it is only looked at.';

export const RIGHTS = {
  'see setup': { what: 'See a setup and its pictures: find, show, history, compare, export', may: ['member'] },
  'see private setup': { what: 'See a private setup, or that there is one', may: ['owner'] },
  'copy setup': { what: "Copy a setup to one's own truck", may: ['member'] },
  'copy private setup': { what: "Copy a private setup to one's own truck", may: ['owner'] },
  'change setup': {
    what: 'Save a new revision, restore an old one, make it private or open, add or take away a picture',
    may: ['owner'],
    note: 'Who saves under the same name makes a setup of their own.',
  },
  'share setup': { what: 'Make a code that shows it to another club', may: ['owner'] },
  'end sharing': { what: 'End such a code', may: ['owner', 'officer'] },
  'see by code': {
    what: 'See and copy what a code shows',
    may: ['member', 'other club'],
    note: 'Whoever holds the code. It carries no name unless the owner says so.',
  },
  'remove setup': { what: 'Take a setup away', may: ['owner'] },
  'import setup': { what: "Keep a setup that came as a file, on one's own truck", may: ['member'] },
  'see truck': { what: 'See a truck: what is known and since when, its parts, what it lacks', may: ['member'] },
  'change truck': {
    what: 'Tell a truck a reading, keep or forget one, change its parts, ask its sheets again',
    may: ['owner'],
    note: OF_THAT_NAME,
  },
  'rename truck': { what: 'Give a truck another name, or take away one without setups', may: ['owner'] },
  'hand over truck': { what: 'Offer a truck to another member, or take the offer back', may: ['owner'] },
  'take truck': { what: 'Take a truck over', may: ['to whom'], note: 'With all that is known of it, its runs and its setups.' },
  'see runs': { what: "See a truck's runs", may: ['member'] },
  'change runs': { what: 'Write down a run, or take one out', may: ['owner'], note: OF_THAT_NAME },
  'see things': { what: 'See scales, box and tracks, and name them with a reading', may: ['member'] },
  'add thing': { what: "Put something in the box: it is one's own there", may: ['member'] },
  'change club thing': { what: 'Add a scale or a track, check it again, say more of it, take it off the list', may: ['member'] },
  'lend thing': { what: 'Lend what lies in the box', may: ['owner'] },
  'return thing': { what: 'Say that it is back', may: ['owner', 'to whom'] },
  'remove thing': {
    what: 'Take it out of the box',
    may: ['owner', 'officer'],
    note: 'The officer for those who come no more; the log says who did it.',
  },
  'take my things': {
    what: 'Export or delete everything of a member',
    may: ['owner'],
    note: 'Each member their own, and nobody that of another.',
  },
  'see officers': { what: "See who the club's officers are", may: ['member'] },
  'name officers': {
    what: 'Name an officer, or end it',
    may: ['officer'],
    note: 'The first are named by whoever runs the bot: CLUB_OFFICERS.',
  },
  'see log': { what: 'See the log of who changed what', may: ['officer'], note: 'It names private setups by their number only.' },
} as const satisfies Readonly<Record<string, Right>>;

export type Act = keyof typeof RIGHTS;

/** Whether somebody who is all of these may. */
export const may = (act: Act, as: readonly Standing[]): boolean => as.some((standing) => (RIGHTS[act] as Right).may.includes(standing));

/** All that somebody is who meets it as this. */
export const allOf = (standing: Standing): readonly Standing[] =>
  standing === 'other club' || standing === 'member' ? [standing] : [standing, 'member'];

/** The page docs/RIGHTS.md. */
export function rightsPage(): string {
  const rights = Object.entries(RIGHTS) as readonly [Act, Right][];
  const notes = [...new Set(rights.flatMap(([, { note }]) => (note === undefined ? [] : [note])))];
  const row = ([act, { what, note }]: readonly [Act, Right]): string => {
    const cells = STANDINGS.map((standing) => (may(act, allOf(standing)) ? 'yes' : '–'));
    return `| ${what}${note === undefined ? '' : ` [${notes.indexOf(note) + 1}]`} | ${cells.join(' | ')} |`;
  };
  return [
    '# Rights',
    '',
    'Who may do what in a club. The table is `worksheets/archive/rights.ts`: the archive asks it before it shows or changes a setup, changes a',
    'thing of the club, names an officer or shows the log. For the rest it keeps clubs and members apart by their ids: what a command changes of a',
    "truck is looked for among the asker's own trucks, in the asker's own club. This page is made from the table; a test holds the two equal and",
    'tries every cell through the commands, the terminal, the bench and Discord, and looks whether what was refused left a trace.',
    '',
    `| | ${STANDINGS.join(' | ')} |`,
    `|---|${STANDINGS.map(() => ':-:').join('|')}|`,
    ...rights.map(row),
    '',
    ...notes.map((note, i) => `${i + 1}. ${note}`),
    '',
    '**Owner** is whose truck it is, and whose the setups and runs of that truck are; whose the thing in the box is; and of what is kept of a member, that member. A truck',
    'that is handed over takes its setups along, private ones too. **To whom** its owner has offered the truck or lent the thing. **Officer** is a',
    'member whom another officer has named (`club officer add:NAME`). Nobody becomes one by being the first to speak, or by what they may do on the',
    'chat platform: the first officers are the ids in `CLUB_OFFICERS`. **Other club** is everybody else, officers of their own club too.',
    '',
    "Whoever sits at the terminal or the bench is one member, `You` of the demo club, and an officer there: they have the archive's file in hand",
    'anyway. For everything else they are a member like any other: they do not see what is private to others.',
    '',
  ].join('\n');
}
