/**
 * What the pages of the bench are made from: plain strings, ready to be shown. Templates convert nothing, round nothing and know no
 * addresses; whatever may come from people is escaped by Handlebars.
 */

/** A page of any kind; `kind` names its template. */
export type Page =
  | FirstPage
  | SheetPage
  | SetupsPage
  | SetupPage
  | ComparePage
  | SavePage
  | LinePage
  | HelpPage
  | NoticePage
  | TrucksPage
  | TruckPage;

export interface Frame {
  /** For the tab; the page's own heading says the same in fewer words. */
  readonly title: string;
  readonly club: string | null;
  readonly nav: readonly { readonly href: string; readonly label: string; readonly current: boolean }[];
}

/** A value in its parts, so that the unit can stand smaller and the ± lighter. `unit` holds the space before it. */
export interface ValueView {
  readonly number: string;
  readonly unit: string;
  readonly plusMinus: string | null;
}
export interface VerdictView {
  readonly sign: string;
  readonly words: string;
  readonly tone: 'good' | 'bad' | 'open';
}
export interface AnswerRow {
  readonly name: string;
  readonly label: string | null;
  readonly value: ValueView;
  /** Words in the place of a number. */
  readonly wordy: boolean;
  readonly verdict: VerdictView | null;
  readonly band: string | null;
}
export interface ReadingRow {
  readonly name: string;
  readonly value: string;
  readonly from: string;
  readonly remark: string | null;
}
export interface CurveView {
  readonly heading: string;
  readonly caption: string;
  readonly over: string;
  readonly columns: readonly string[];
  readonly rows: readonly { readonly x: string; readonly here: boolean; readonly cells: readonly string[] }[];
  readonly open: boolean;
}
export interface AnswerView {
  readonly heading: string;
  readonly next: string | null;
  readonly cautions: readonly string[];
  readonly hero: AnswerRow | null;
  readonly rows: readonly AnswerRow[];
  readonly readings: readonly ReadingRow[];
  readonly curves: readonly CurveView[];
  readonly wider: string | null;
}

/** Two drawings of one card: the reader's own light or dark decides which is fetched. */
export interface CardView {
  readonly dark: string;
  readonly light: string;
  readonly alt: string;
  readonly width: number;
  readonly height: number;
  /** One of many on its page: drawn when it comes into sight. */
  readonly lazy: boolean;
}

export interface ProblemView {
  readonly text: string;
  /** The field that it concerns, when it is on the page. */
  readonly href: string | null;
}

export interface Choice {
  readonly id: string;
  readonly value: string;
  readonly label: string;
  readonly chosen: boolean;
}
interface FieldBase {
  readonly id: string;
  readonly name: string;
  readonly label: string;
  /** What it is, its range, what counts when it stays empty: a line each. */
  readonly hints: readonly string[];
  /** What the truck is known to have: it counts when the field stays empty. */
  readonly known: string | null;
  readonly problems: readonly string[];
  /** Ids of what describes the field, for `aria-describedby`; null when nothing does. */
  readonly describedBy: string | null;
}
export interface LineField extends FieldBase {
  readonly kind: 'line-field';
  readonly value: string;
  readonly inputmode: 'decimal' | 'numeric' | 'text';
  readonly unit: string | null;
  readonly suggestions: readonly string[];
}
export interface ListField extends FieldBase {
  readonly kind: 'list-field';
  readonly value: string;
  readonly rows: number;
}
export interface SelectField extends FieldBase {
  readonly kind: 'select-field';
  readonly choices: readonly Choice[];
}
export interface RadioField extends FieldBase {
  readonly kind: 'radio-field';
  readonly choices: readonly Choice[];
}
export type Field = LineField | ListField | SelectField | RadioField;

export interface FormView {
  readonly action: string;
  /** Asking keeps the answer: there is an archive. */
  readonly canKeep: boolean;
  readonly problems: readonly ProblemView[];
  readonly first: readonly Field[];
  readonly needed: readonly Field[];
  readonly further: readonly Field[];
  readonly furtherOpen: boolean;
  /** An example that works; null where the sheet has none. */
  readonly example: string | null;
  /** The same page without what was typed; null while nothing was. */
  readonly empty: string | null;
}

export type PartView =
  /** Written by the Markdown renderer with raw HTML off: the one text that goes out unescaped. */
  | { readonly kind: 'prose'; readonly html: string }
  | {
      readonly kind: 'workings';
      readonly lines: readonly { readonly name: string; readonly formula: string; readonly value: string | null }[];
    };

export interface SheetPage extends Frame {
  readonly kind: 'sheet';
  readonly heading: string;
  readonly summary: string;
  readonly chatLine: string | null;
  readonly form: FormView;
  readonly result: ResultView | null;
  readonly parts: readonly PartView[];
}
export interface ResultView {
  readonly answer: AnswerView;
  readonly card: CardView | null;
  readonly text: string;
  /** One sentence on what the archive has of it. */
  readonly kept: string | null;
  /** The archive failed: the sentence is a warning. */
  readonly trouble: boolean;
  /** Asks the same again and keeps it; null when it is kept, or can't be. */
  readonly keep: { readonly action: string; readonly label: string; readonly fields: readonly HiddenField[] } | null;
  readonly save: SaveForm | null;
}
export interface HiddenField {
  readonly name: string;
  readonly value: string;
}

export interface SaveForm {
  readonly heading: string;
  readonly holds: string;
  readonly fields: readonly Field[];
  readonly hidden: readonly HiddenField[];
}
export interface SavePage extends Frame {
  readonly kind: 'save';
  readonly problems: readonly ProblemView[];
  readonly save: SaveForm;
}

export interface LineForm {
  readonly value: string;
  readonly example: string;
}
export interface SheetLink {
  readonly href: string;
  readonly title: string;
  readonly summary: string;
  readonly ask: string;
  readonly asks: readonly string[];
}
export interface SetupLink {
  readonly href: string;
  readonly name: string;
  readonly about: string;
  readonly sheets: string;
  readonly tags: string | null;
  /** Its owner's alone. */
  readonly hidden: boolean;
}
export interface FirstPage extends Frame {
  readonly kind: 'first';
  readonly line: LineForm;
  readonly leads: readonly SheetLink[];
  readonly groups: readonly { readonly title: string; readonly sheets: readonly SheetLink[] }[];
  readonly archive: { readonly setups: readonly SetupLink[]; readonly trouble: string | null } | null;
}
export interface LinePage extends Frame {
  readonly kind: 'line';
  readonly line: LineForm;
  /** What a command of the house said. */
  readonly said: string | null;
  readonly problems: readonly ProblemView[];
  readonly found: readonly SheetLink[];
}
export interface HelpPage extends Frame {
  readonly kind: 'help';
  readonly about: string;
  readonly found: readonly SheetLink[] | null;
  readonly command: CommandHelp | null;
  readonly nothing: string | null;
  readonly commands: readonly SheetLink[];
  readonly groups: readonly { readonly title: string; readonly sheets: readonly SheetLink[] }[];
  readonly line: LineForm;
}
/** One of the house's own commands; where it has subcommands, what each of them does. */
export interface CommandHelp {
  readonly name: string;
  readonly description: string;
  readonly asks: readonly string[];
  /** `of`: where all about it stands. */
  readonly subcommands: readonly { readonly of: string; readonly name: string; readonly description: string; readonly line: string }[];
  readonly options: readonly { readonly name: string; readonly text: string }[];
  readonly examples: readonly LineLink[];
}
/** A line, and where it stands ready to be asked. */
export interface LineLink {
  readonly line: string;
  readonly href: string;
}
export interface SetupsPage extends Frame {
  readonly kind: 'setups';
  readonly words: string;
  readonly heading: string;
  readonly setups: readonly SetupLink[];
  readonly nothing: string | null;
  readonly paged: boolean;
  readonly before: string | null;
  readonly after: string | null;
  readonly handIn: HandIn;
}
/** A form with a file in it. */
export interface HandIn {
  readonly action: string;
  readonly heading: string;
  readonly id: string;
  readonly label: string;
  readonly accept: string;
  readonly hint: string;
  readonly button: string;
  readonly fields: readonly Field[];
  readonly hidden: readonly HiddenField[];
}
export interface SetupPage extends Frame {
  readonly kind: 'setup';
  readonly heading: string;
  readonly about: string;
  /** An earlier revision is shown: where the newest is. */
  readonly newest: string | null;
  readonly tags: readonly { readonly href: string; readonly tag: string }[];
  readonly notes: string | null;
  readonly hidden: boolean;
  /** Of the whole setup. */
  readonly card: CardView | null;
  /** What the day was like, in a line. */
  readonly conditions: string | null;
  readonly facts: readonly FactRow[];
  readonly sheets: readonly {
    readonly id: string;
    readonly heading: string;
    /** What stands open; `answer` has the rest. */
    readonly hero: AnswerRow | null;
    readonly answer: AnswerView;
    readonly card: CardView | null;
    readonly again: { readonly href: string; readonly label: string } | null;
  }[];
  readonly history: readonly {
    readonly href: string;
    /** Held against the one that is shown; null of that one. */
    readonly against: string | null;
    readonly label: string;
    readonly about: string;
    readonly current: boolean;
    readonly notes: string | null;
    readonly changes: readonly { readonly what: string; readonly was: string; readonly is: string }[];
  }[];
  /** What it can be held against; null where there is nothing. */
  readonly compare: {
    readonly fields: readonly Field[];
    readonly hidden: readonly HiddenField[];
    readonly links: readonly NamedLink[];
  } | null;
  readonly files: readonly { readonly href: string; readonly label: string }[];
  readonly pictures: PicturesView;
  /** How it ran like this, a line a run, newest first. */
  readonly runs: readonly string[];
  readonly text: string;
}
export interface PicturesView {
  /** `remove`: where it is taken away; null where it cannot be. */
  readonly shown: readonly {
    readonly href: string;
    readonly alt: string;
    readonly width: number;
    readonly height: number;
    readonly remove: string | null;
  }[];
  readonly hidden: readonly HiddenField[];
  readonly handIn: HandIn | null;
}
export interface ComparedLine {
  readonly name: string;
  readonly was: string;
  readonly is: string;
}
export interface ComparedGroup {
  readonly id: string;
  readonly title: string;
  readonly lines: readonly ComparedLine[];
  /** What differs by no more than it may be off. */
  readonly faint: readonly ComparedLine[];
}
export interface ComparePage extends Frame {
  readonly kind: 'compare';
  readonly heading: string;
  readonly sides: readonly { readonly column: 'was' | 'is'; readonly href: string; readonly name: string; readonly about: string }[];
  readonly card: CardView | null;
  readonly groups: readonly ComparedGroup[];
  readonly nothing: string | null;
  /** The same the other way round. */
  readonly turned: string;
  readonly text: string;
}
/** One thing to say: a page that is not there, a fault of ours. */
export interface NoticePage extends Frame {
  readonly kind: 'notice';
  readonly heading: string;
  readonly sentences: readonly string[];
  readonly links: readonly { readonly href: string; readonly label: string }[];
}

// ── trucks ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export interface TruckLink {
  readonly href: string;
  readonly name: string;
  readonly about: string;
  readonly current: boolean;
}
export interface TrucksPage extends Frame {
  readonly kind: 'trucks';
  readonly trucks: readonly TruckLink[];
  /** Offered by others: what to write to take one. */
  readonly offered: readonly string[];
  readonly others: readonly { readonly id: string; readonly name: string; readonly trucks: readonly TruckLink[] }[];
  readonly nothing: string | null;
}
export interface FactRow {
  readonly name: string;
  readonly value: string;
  /** How it is known, since when, by whom. */
  readonly about: string;
  readonly remark: string | null;
}
export interface NamedLink {
  /** null: nothing to go to from here. */
  readonly href: string | null;
  readonly label: string;
}
export interface TruckPage extends Frame {
  readonly kind: 'truck';
  readonly heading: string;
  readonly about: string;
  readonly card: CardView | null;
  readonly action: string;
  readonly own: boolean;
  readonly current: boolean;
  readonly problems: readonly ProblemView[];
  readonly starts: readonly { readonly href: string; readonly ask: string; readonly title: string }[];
  readonly answers: readonly { readonly link: NamedLink; readonly row: AnswerRow | null }[];
  readonly stale: readonly string[];
  readonly twoWays: readonly string[];
  readonly troubled: readonly string[];
  readonly unlocks: readonly { readonly fact: string; readonly label: string; readonly sheets: readonly NamedLink[] }[];
  /** What to bring for the first of them, or to start with. */
  readonly bring: string | null;
  readonly given: readonly FactRow[];
  readonly known: readonly FactRow[];
  readonly how: Field;
  readonly tell: readonly Field[];
  readonly balance: string | null;
  readonly parts: readonly { readonly name: string; readonly value: string; readonly about: string }[];
  readonly further: readonly { readonly sheet: NamedLink; readonly lacks: string }[];
  readonly setups: readonly SetupLink[];
  readonly runs: readonly { readonly head: string; readonly lines: readonly string[] }[];
  /** Runs that are not on the page. */
  readonly earlier: string | null;
  readonly text: string;
}
