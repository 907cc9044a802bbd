/** setup picture: what a setup shows besides its numbers; one more, or one less, makes a revision. */
import { MOST_PICTURE_BYTES, madePicture } from '../../templates/picture.ts';
import type { Records, SavedSetup } from '../../worksheets/archive/types.ts';
import { PICTURE } from '../../worksheets/archive/webp.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problems } from '../../worksheets/engine/types.ts';
import { bytesIn } from './handed.ts';
import { missing, type Pit, refused, words } from './pit.ts';
import type { Message, Reply, SubcommandSpec } from './types.ts';
import { CODE, meantSetup, NAME, REV, revIn, revOf } from './which-setup.ts';

export const PICTURE_SPEC: SubcommandSpec = {
  name: 'picture',
  description: "A setup's pictures; with a file, one more on a setup of yours",
  options: [
    NAME,
    { name: 'file', description: 'JPEG, PNG or WebP: where it was taken, and by which camera, is not kept', kind: 'file' },
    { name: 'number', description: 'Only this one: 1, 2, …' },
    { name: 'remove', description: 'Show this one no more: 1, 2, …' },
    REV,
    CODE,
  ],
  asks: ['Add a photo of the springs to a setup', 'What does that setup look like?'],
  examples: [
    'setup picture hard pan, evening file:springs.jpg',
    'setup picture hard pan, evening',
    'setup picture hard pan, evening remove:1',
  ],
};

export const changesPictures = ({ options, files }: Pick<Message, 'options' | 'files'>): boolean =>
  files?.file !== undefined || options.remove !== undefined;

const NAMELESS = 'Give its name, or its number from setup find.';

/** A picture that was handed in is fetched and made over before the archive is asked. */
export async function pictured(pit: Pit, message: Message): Promise<Reply | null | ((records: Records) => Promise<Reply>)> {
  const { face } = pit;
  const { options, files, asker } = message;
  const file = files?.file;
  if (!file) return null;
  const wanted = options.name?.trim();
  if (!wanted) return missing(face, 'name', NAMELESS);
  const bytes = await bytesIn('file', file, MOST_PICTURE_BYTES);
  if (!(bytes instanceof Uint8Array)) return refused(face, [bytes]);
  const made = await madePicture(bytes, PICTURE);
  if ('trouble' in made) return refused(face, [problem('file', file.name, made.trouble, made.trouble)]);
  return async (records) => {
    const meant = await meantSetup(records, asker, wanted, 'change');
    if (meant.kind === 'problems') return refused(face, meant.problems);
    const saved = await records.addPicture({ ...meant.which, picture: made.bytes });
    return done(pit, saved, ({ name, id, rev }) => `"${name}" has this picture now: revision ${rev}. Its pictures: setup picture ${id}`);
  };
}

export async function pictureReply(pit: Pit, records: Records, { options, asker }: Message): Promise<Reply> {
  const { face } = pit;
  const wanted = options.name?.trim();
  const code = options.code?.trim();
  if (!wanted && !code) return missing(face, 'name', NAMELESS);
  if (options.file !== undefined) {
    const needs = "It has to be handed in: with the command in chat, on the setup's page of the bench, as file:PATH at the terminal.";
    return refused(face, [problem('file', options.file, needs, `File: a name alone is no picture. ${needs}`)]);
  }
  if (options.remove !== undefined) {
    if (!wanted) return missing(face, 'name', NAMELESS);
    if (!/^\d{1,2}$/.test(options.remove.trim())) {
      const needs = 'Give its number: remove:1 takes the first one away.';
      return refused(face, [problem('remove', options.remove, needs, `Remove: "${face.safe(options.remove)}" is no picture. ${needs}`)]);
    }
    const meant = await meantSetup(records, asker, wanted, 'change');
    if (meant.kind === 'problems') return refused(face, meant.problems);
    const saved = await records.takePicture({ ...meant.which, number: Number(options.remove) });
    const before = 'Earlier revisions still show it; setup remove takes all of them away.';
    return done(pit, saved, ({ name, rev }) => `"${name}" shows this picture no more: revision ${rev}. ${before}`);
  }
  const rev = revIn(pit, options);
  if (typeof rev === 'object') return refused(face, [rev]);
  const meant = code ? null : await meantSetup(records, asker, wanted!, 'look');
  if (meant?.kind === 'problems') return refused(face, meant.problems);
  const found = await records.pictures(meant === null ? { code: code! } : { ...meant.which, ...revOf(meant, rev) });
  if (found.kind === 'problems') return refused(face, found.problems);
  const { setup, pictures } = found;
  const name = face.safe(setup.doc.name);
  const which = `"${name}", revision ${setup.revision.rev}`;
  const visibility = setup.private || code ? 'private' : 'public';
  const all = pictures.map((bytes, i) => ({
    name: `setup-${setup.id || 'shared'}-picture-${i + 1}.webp`,
    type: PICTURE.type,
    alt: `Picture ${i + 1} of ${pictures.length} on the setup "${setup.doc.name}" of ${setup.doc.truck}`,
    bytes,
  }));
  if (all.length === 0)
    return words(`${which}: no picture yet. Its owner adds one: setup picture ${setup.id || 'NAME'} with a file.`, visibility);
  const number = options.number === undefined ? null : Number(options.number);
  const shown = number === null ? all : all.filter((_, i) => i === number - 1);
  if (shown.length === 0) {
    const needs = all.length === 1 ? 'It has one.' : `It has 1 to ${all.length}.`;
    return refused(face, [problem('number', options.number!, needs, `${which}, has no picture ${face.safe(options.number!)}. ${needs}`)]);
  }
  const count = all.length === 1 ? '1 picture' : `${all.length} pictures`;
  const how =
    face.format === 'terminal' ? ' --card FILE.webp writes one (number:2 is the second); on the bench they stand on its page.' : '';
  return { ...words(`${which}: ${number === null ? count : `picture ${number} of ${count}`}.${how}`, visibility), pictures: shown };
}

function done(
  { face }: Pit,
  saved: SavedSetup | Problems,
  say: (of: { readonly name: string; readonly id: number; readonly rev: number }) => string,
): Reply {
  if (saved.kind === 'problems') return refused(face, saved.problems);
  const { id, rev } = saved;
  return { ...words(say({ name: face.safe(saved.name), id, rev }), saved.private ? 'private' : 'public'), setup: id };
}
