/**
 * Who may do what: the one table of rights. The archive asks it; docs/RIGHTS.md is held equal to it by a test, and another test tries every
 * cell through the commands.
 */

/** As what somebody meets a thing of a club. An officer or the owner is a member as well; who comes from another club is none of them. */
export const STANDINGS = ['owner', 'officer', 'member', 'other club'] as const;
export type Standing = (typeof STANDINGS)[number];

interface Right {
  readonly what: string;
  readonly may: readonly Standing[];
  /** What has to be said beside the yes and no. */
  readonly note?: string;
}

export const RIGHTS = {
  'see setup': { what: 'See a setup: find, show, history, compare, export', may: ['owner', 'officer', 'member'] },
  'see private setup': { what: 'See a private setup, or that there is one', may: ['owner'] },
  'copy setup': { what: "Copy a setup to one's own truck", may: ['owner', 'officer', 'member'] },
  'copy private setup': { what: "Copy a private setup to one's own truck", may: ['owner'] },
  'change setup': {
    what: 'Save a new revision, restore an old one, make it private or open',
    may: ['owner'],
    note: 'Who saves under the same name makes a setup of their own.',
  },
  'share setup': { what: 'Make a code that shows it to another club', may: ['owner'] },
  'end sharing': { what: 'End such a code', may: ['owner', 'officer'] },
  'see by code': {
    what: 'See and copy what a code shows',
    may: ['owner', 'officer', 'member', 'other club'],
    note: 'Whoever holds the code. It carries no name unless the owner says so.',
  },
  'remove setup': { what: 'Take a setup away', may: ['owner'] },
  'take my things': {
    what: 'Export or delete everything of a member',
    may: ['owner'],
    note: 'Each member their own, and nobody that of another.',
  },
  'see officers': { what: "See who the club's officers are", may: ['officer', 'member', 'owner'] },
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

/** The page docs/RIGHTS.md. */
export function rightsPage(): string {
  const rights = Object.values(RIGHTS) as readonly Right[];
  const notes = rights.flatMap(({ note }) => (note === undefined ? [] : [note]));
  const row = ({ what, may: who, note }: Right): string => {
    const cells = STANDINGS.map((standing) => (who.includes(standing) ? 'yes' : '–'));
    return `| ${what}${note === undefined ? '' : ` [${notes.indexOf(note) + 1}]`} | ${cells.join(' | ')} |`;
  };
  return [
    '# Rights',
    '',
    'Who may do what in a club. The table is `worksheets/archive/rights.ts`: the archive asks it before it shows or changes a setup, names an',
    'officer or shows the log, and keeps clubs and members apart by their ids for the rest. This page is made from it; a test holds the two',
    'equal and tries every cell through the commands. A member may do what stands in any column that fits.',
    '',
    `| | ${STANDINGS.join(' | ')} |`,
    `|---|${STANDINGS.map(() => ':-:').join('|')}|`,
    ...rights.map(row),
    '',
    ...notes.map((note, i) => `${i + 1}. ${note}`),
    '',
    '**Owner** is whose truck the setup belongs to; a truck that is handed over takes its setups along, private ones too. **Officer** is a',
    'member whom another officer has named (`club officer add:NAME`). Nobody becomes one by being the first to speak, or by what they may do',
    'on the chat platform: the first officers are the ids in `CLUB_OFFICERS`, and in the demo club whoever sits at the terminal.',
    '',
  ].join('\n');
}
