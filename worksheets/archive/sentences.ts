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
