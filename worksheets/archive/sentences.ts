import type { Problem, Problems } from '../engine/types.ts';
import { UNSEEN } from './words.ts';

/** Every sentence the archive says to a member, in one place. */

const SHOWN = 40;

/** What was typed, short enough to echo and without the characters that cannot be shown. */
export const echo = (text: string): string => {
  const clean = [...text.toWellFormed().replace(UNSEEN, ' ')];
  return clean.length > SHOWN ? `${clean.slice(0, SHOWN).join('')}…` : clean.join('');
};

export const problems = (...list: readonly Problem[]): Problems => ({ kind: 'problems', sheet: null, problems: list });

export const missing = (reading: string, label: string, most: number): Problem => {
  const needs = `Give 1 to ${most} characters.`;
  return { reading, got: null, needs, text: `${label} is missing. ${needs}` };
};

export const tooLong = (reading: string, label: string, got: string, most: number): Problem => {
  const needs = `Give at most ${most} characters.`;
  return { reading, got: echo(got), needs, text: `${label}: "${echo(got)}" is too long. ${needs}` };
};

export const unstorable = (reading: string, label: string, got: string): Problem => {
  const needs = 'Type it again by hand.';
  return { reading, got: echo(got), needs, text: `${label}: "${echo(got)}" holds a broken character that cannot be kept. ${needs}` };
};

export const tooManyTags = (got: number, most: number): Problem => {
  const needs = `Give at most ${most}.`;
  return { reading: 'tags', got: String(got), needs, text: `Tags: ${got} are too many. ${needs}` };
};

export const nothingToSave = (truck: string): Problem => {
  const needs = 'Ask a sheet with this truck first, then save.';
  return { reading: 'truck', got: echo(truck), needs, text: `There is nothing to save for "${echo(truck)}" yet. ${needs}` };
};

export const noSetup = (reading: 'name' | 'id', got: string): Problem => {
  const needs = 'Look for it with a word of its name.';
  const called = reading === 'id' ? `setup ${got}` : `setup "${echo(got)}"`;
  return { reading, got: echo(got), needs, text: `There is no ${called} in this club. ${needs}` };
};

export const manySetups = (got: string, which: readonly { id: number; truck: string; member: string }[]): Problem => {
  const list = which.map(({ id, truck, member }) => `${id} (${member}, ${truck})`).join(', ');
  const needs = `Give its number: ${list}.`;
  return { reading: 'name', got: echo(got), needs, text: `${which.length} setups are called "${echo(got)}". ${needs}` };
};

export const noRevision = (got: number, newest: number): Problem => {
  const needs = newest === 1 ? 'Give 1.' : `Give 1 to ${newest}.`;
  return { reading: 'rev', got: String(got), needs, text: `Revision: "${got}" is out. ${needs}` };
};

export const nothingToSaveOver = (name: string, truck: string): Problem => {
  const needs = 'Save it without a revision to start it.';
  return { reading: 'name', got: echo(name), needs, text: `There is no setup "${echo(name)}" of "${echo(truck)}" to change yet. ${needs}` };
};

export const movedOn = (name: string, base: number, newest: number): string =>
  `"${echo(name)}" has moved on: you started from revision ${base}, and revision ${newest} is there now. Look at what has changed, then save again.`;

export const notYours = (name: string, owner: string): Problem => {
  const needs = 'Copy it to a truck of yours: setup copy NAME truck:YOURS.';
  return { reading: 'name', got: echo(name), needs, text: `"${echo(name)}" is ${echo(owner)}'s: only its owner may. ${needs}` };
};

export const noCode = (got: string): Problem => {
  const needs = 'Ask whoever gave it to you for a new one.';
  return { reading: 'code', got: echo(got), needs, text: `Code: "${echo(got)}" shows nothing, or not any more. ${needs}` };
};

export const onlyOfficers = (): Problem => {
  const needs = 'club officers lists them.';
  return { reading: null, got: null, needs, text: `Only an officer of the club may do that. ${needs}` };
};

export const nothingOfYours = (): Problem => {
  const needs = 'It keeps what you ask and save from now on.';
  return { reading: null, got: null, needs, text: `Nothing of yours is kept in this club. ${needs}` };
};

// ── trucks ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

const listed = (names: readonly string[]): string => names.map((name) => `"${echo(name)}"`).join(', ');

export const noTruck = (got: string, whose: string | null, known: readonly string[]): Problem => {
  const has = whose === null ? 'You have' : `${echo(whose)} has`;
  const needs = known.length === 0 ? `${has} no truck here yet.` : `${has} ${listed(known.slice(0, 10))}.`;
  return {
    reading: 'truck',
    got: echo(got),
    needs,
    text: `There is no truck "${echo(got)}"${whose === null ? ' of yours' : ''}. ${needs}`,
  };
};

export const noMember = (reading: string, got: string, known: readonly string[]): Problem => {
  const needs = known.length === 0 ? 'Nobody else has asked anything here yet.' : `There is ${listed(known.slice(0, 10))}.`;
  return { reading, got: echo(got), needs, text: `No member of this club called "${echo(got)}" has asked anything here yet. ${needs}` };
};

export const manyMembers = (reading: string, got: string, count: number): Problem => {
  const needs = 'Name the member with @, or give the id.';
  return { reading, got: echo(got), needs, text: `${count} members are called "${echo(got)}". ${needs}` };
};

export const nothingToKeep = (truck: string): Problem => {
  const needs = 'Ask a sheet with it first, or say it: truck set wheelbase:330.';
  return { reading: null, got: null, needs, text: `Nothing new was given for ${echo(truck)} in the last 12 hours. ${needs}` };
};

export const notGiven = (truck: string, got: string, given: readonly string[]): Problem => {
  const needs = given.length === 0 ? 'Nothing was, in the last 12 hours.' : `Just given: ${given.join(', ')}.`;
  return { reading: 'facts', got: echo(got), needs, text: `"${echo(got)}" was not just given for ${echo(truck)}. ${needs}` };
};

export const noFact = (truck: string, got: string): Problem => {
  const needs = 'truck show lists what is known.';
  return { reading: 'fact', got: echo(got), needs, text: `Nothing is known as "${echo(got)}" of ${echo(truck)}. ${needs}` };
};

export const noPart = (truck: string, got: string, known: readonly string[]): Problem => {
  const needs = known.length === 0 ? 'The list is empty: truck parts add NAME MASS.' : `It has ${listed(known.slice(0, 12))}.`;
  return { reading: 'name', got: echo(got), needs, text: `${echo(truck)} has no part "${echo(got)}". ${needs}` };
};

export const partIsThere = (truck: string, got: string): Problem => {
  const needs = `Change it: truck parts change ${echo(got)}.`;
  return { reading: 'name', got: echo(got), needs, text: `${echo(truck)} has a part "${echo(got)}" already. ${needs}` };
};

export const tooManyParts = (most: number): Problem => {
  const needs = `A list has at most ${most}.`;
  return { reading: 'name', got: null, needs, text: `There are too many parts. ${needs}` };
};

export const partHasSigns = (got: string): Problem => {
  const needs = 'Leave / and ; out of a name.';
  return { reading: 'name', got: echo(got), needs, text: `Part: "${echo(got)}" holds a sign that lists are cut at. ${needs}` };
};

export const noMass = (got: string): Problem => {
  const needs = 'Give 1 to 5000 g.';
  return { reading: 'mass', got: null, needs, text: `Mass is missing: what does "${echo(got)}" weigh? ${needs}` };
};

export const notOffered = (got: string, offered: readonly { truck: string; from: string }[]): Problem => {
  const needs =
    offered.length === 0
      ? 'Its owner offers it first: truck give NAME to:YOU.'
      : `Offered to you: ${offered.map(({ truck, from }) => `"${echo(truck)}" from ${echo(from)}`).join(', ')}.`;
  return { reading: 'truck', got: echo(got), needs, text: `No truck "${echo(got)}" is offered to you. ${needs}` };
};

export const manyOffers = (got: string, from: readonly string[]): Problem => {
  const needs = `Say whose: from:${from.map(echo).join(', from:')}.`;
  return { reading: 'from', got: echo(got), needs, text: `${from.length} trucks called "${echo(got)}" are offered to you. ${needs}` };
};

export const nameIsTaken = (got: string): Problem => {
  const needs = 'Give it another name here: as:NAME.';
  return { reading: 'as', got: echo(got), needs, text: `You have a truck "${echo(got)}" already. ${needs}` };
};

export const truckHasSetups = (name: string, numbers: readonly number[]): Problem => {
  const few = numbers.slice(0, 10).join(', ');
  const which = `${numbers.length === 1 ? 'setup' : 'setups'} ${few}${numbers.length > 10 ? ', …' : ''}`;
  const needs = `Take ${numbers.length === 1 ? 'it' : 'them'} away first: setup remove ${numbers[0]}. Or give the truck another name: truck rename.`;
  return { reading: 'truck', got: echo(name), needs, text: `"${echo(name)}" has ${which} in the archive. ${needs}` };
};

// ── things of the club ──────────────────────────────────────────────────────────────────────────────────────────────────────────

export const noThing = (got: string, known: readonly string[]): Problem => {
  const needs = known.length === 0 ? 'The club has none yet.' : `There is ${listed(known.slice(0, 12))}.`;
  return { reading: 'name', got: echo(got), needs, text: `The club has no "${echo(got)}". ${needs}` };
};

export const manyThings = (got: string, which: readonly string[]): Problem => {
  const needs = `Give one of them: ${which.slice(0, 12).map(echo).join(', ')}.`;
  return { reading: 'name', got: echo(got), needs, text: `"${echo(got)}" could be ${which.length} things. ${needs}` };
};

export const thingIsThere = (got: string, kind: string, owner: string | null): Problem => {
  const needs = 'Give it another name.';
  const whose = owner === null ? '' : `, ${echo(owner)}’s`;
  return { reading: 'name', got: echo(got), needs, text: `The box has a ${kind} "${echo(got)}" already${whose}. ${needs}` };
};

export const tooManyThings = (most: number): Problem => {
  const needs = `A club keeps at most ${most}.`;
  return { reading: 'name', got: null, needs, text: `There are too many things. ${needs}` };
};

export const notYourThing = (got: string, owner: string | null): Problem => {
  const needs = owner === null ? 'It is the club’s.' : `It is ${echo(owner)}’s.`;
  return { reading: 'name', got: echo(got), needs, text: `"${echo(got)}" is not yours. ${needs}` };
};

export const lentAlready = (got: string, to: string): Problem => {
  const needs = `Say first that it is back: box return ${echo(got)}.`;
  return { reading: 'to', got: echo(got), needs, text: `"${echo(got)}" is lent to ${echo(to)}. ${needs}` };
};

export const notLent = (got: string): Problem => {
  const needs = 'It lies in the box.';
  return { reading: 'name', got: echo(got), needs, text: `"${echo(got)}" is lent to nobody. ${needs}` };
};

// ── runs ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const emptyRun = (): Problem => {
  const needs = 'Say how it went: run add 5 min, bucked in the whoops, motor 72.';
  return { reading: 'line', got: null, needs, text: `Run is missing. ${needs}` };
};

export const noRun = (truck: string, got: number): Problem => {
  const needs = 'run list shows them.';
  return { reading: 'number', got: String(got), needs, text: `${echo(truck)} has no run ${got}. ${needs}` };
};

// ── pictures ────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

export const enoughPictures = (name: string, most: number): Problem => {
  const needs = 'Take one away first: remove:1.';
  return { reading: 'file', got: null, needs, text: `"${echo(name)}" has ${most} pictures, and that is the most. ${needs}` };
};

export const samePicture = (name: string): Problem => {
  const needs = 'Give another.';
  return { reading: 'file', got: null, needs, text: `"${echo(name)}" has this picture already. ${needs}` };
};

export const noPicture = (name: string, got: number, count: number): Problem => {
  const needs = count === 0 ? 'It has none.' : count === 1 ? 'It has one.' : `It has 1 to ${count}.`;
  return { reading: 'number', got: String(got), needs, text: `"${echo(name)}" has no picture ${got}. ${needs}` };
};
