/** A line of one of the house's own commands: "truck set wheelbase:330 how:stated", "setup save evening notes:calm: no bucking". */
import { nearest, problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import type { CommandSpec, Message, OptionSpec } from './types.ts';

export type ReadOwnLine = { readonly message: Omit<Message, 'asker'> } | { readonly problems: readonly Problem[] };

export function ownLine(spec: CommandSpec, rest: string): ReadOwnLine {
  const { name, subcommands } = spec;
  if (!subcommands) return read(name, rest, spec.options);
  const word = /^\S*/.exec(rest)![0].toLowerCase();
  // Alone it only looks: "setup" lists setups, "truck" shows the truck; nothing is kept or changed by half a command.
  const called = subcommands.some((one) => one.name === word) ? word : (ALSO[word] ?? word);
  const sub = subcommands.find((one) => (word === '' ? LOOKING.includes(one.name) : one.name === called));
  if (sub) return read(`${name} ${sub.name}`, rest.slice(word.length), sub.options);
  const names = subcommands.map((one) => `${name} ${one.name}`);
  if (word === '')
    return { problems: [problem(null, null, `Write ${names.join(', ')}.`, `${name} alone says too little. Write ${names.join(', ')}.`)] };
  const like = nearest(
    word,
    subcommands.map((one) => one.name),
  );
  const needs = like ? `Did you mean ${name} ${like}?` : `Write ${names.slice(0, -1).join(', ')} or ${names.at(-1)}.`;
  return { problems: [problem(null, rest, needs, `"${problem(null, word, '', '').got}" is nothing that ${name} can do. ${needs}`)] };
}

/** What it is called where people come from. */
const ALSO: Readonly<Record<string, string>> = { list: 'find', search: 'find', delete: 'remove' };

/** The subcommands that change nothing. */
const LOOKING = ['show', 'list', 'find'];

/** Words that say whose or which: a command that does not take them must not take them for a piece of a name. */
const WHOSE = ['truck', 'of'];

function read(command: string, line: string, specs: readonly OptionSpec[]): ReadOwnLine {
  // A text that is handed in whole may say what it likes.
  const asked = specs.some(({ kind }) => kind === 'rest') ? '' : line;
  const strange = WHOSE.find(
    (name) => !specs.some((spec) => spec.name === name) && new RegExp(`(?<![^\\s,;])${name}[:=]`, 'i').test(asked),
  );
  if (strange === undefined) return { message: { command, options: optionsIn(line, specs) } };
  const needs = `It takes ${specs.map(({ name }) => name).join(', ')}.`;
  const whose = strange === 'of' ? ' A member changes only their own.' : '';
  return { problems: [problem(strange, strange, needs, `"${strange}" is nothing that ${command} takes. ${needs}${whose}`)] };
}

/**
 * What stands in front of the first name is the first option. A value goes on until the next name of an option, so that a note may hold colons;
 * of an option with choices, and of a number, it is one word, of a name in quotes what stands in them, and what follows belongs to the first option
 * again. What is the rest of a line holds whatever it holds.
 */
function optionsIn(line: string, specs: readonly OptionSpec[]): Record<string, string> {
  const marks = [...line.matchAll(/(?<![^\s,;])([A-Za-z]+)\s?[:=]/g)]
    .map((found) => ({
      spec: specs.find(({ name }) => name === found[1]!.toLowerCase()),
      from: found.index,
      to: found.index + found[0].length,
    }))
    .filter((mark) => mark.spec !== undefined);
  // A file is handed in: what stands bare in a line is words.
  const first = specs.find(({ kind }) => kind !== 'file');
  const rest = marks.findIndex(({ spec }) => spec!.kind === 'rest');
  if (first?.kind === 'rest' && line.slice(0, marks[0]?.from).trim() !== '') marks.splice(0);
  else if (rest >= 0) marks.splice(rest + 1);
  const options: Record<string, string> = {};
  const bare = [line.slice(0, marks[0]?.from ?? line.length)];
  for (const [i, { spec, to }] of marks.entries()) {
    const value = line.slice(to, marks[i + 1]?.from ?? line.length).trim();
    const first = ends(spec!).exec(value)![0];
    if (!(spec!.name in options)) options[spec!.name] = unquoted(first);
    bare.push(value.slice(first.length));
  }
  const text = unquoted(
    bare
      .map((piece) => piece.trim())
      .filter(Boolean)
      .join(' '),
  );
  if (text !== '' && first) options[first.name] = first.name in options ? `${options[first.name]} ${text}` : text;
  return options;
}

/** As much of a value as is surely of this option. */
const ends = ({ choices, kind, suggests }: OptionSpec): RegExp =>
  choices || kind === 'word' ? /^\S*/ : suggests ? /^(?:(["'])(?:(?!\1).)+\1(?=\s)|[\s\S]*)/ : /^[\s\S]*/;

/** "Hard pan" "Gravel" are two, each in its own. */
const unquoted = (value: string): string => value.trim().replace(/^(["'])((?:(?!\1)[\s\S])*)\1$/, '$2');
