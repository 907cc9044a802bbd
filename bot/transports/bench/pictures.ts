/** A setup's pictures on the bench: shown, one more, one less. */
import type { PicturesView } from '../../../templates/bench/index.ts';
import { clean } from '../../../templates/clean.ts';
import type { Archive, ShownSetup } from '../../../worksheets/archive/types.ts';
import { keptPicture, PICTURE } from '../../../worksheets/archive/webp.ts';
import { type Bench, notice } from './bench.ts';
import { done, once } from './handed-in.ts';
import type { Sent } from './http.ts';
import type { Upload } from './upload.ts';

const isNumber = (id: string): boolean => /^[1-9]\d{0,8}$/.test(id);
const whose = ({ asker }: Bench, id: string, rev: string | null) => ({
  club: asker.club,
  member: asker.member,
  id: Number(id),
  ...(rev === null ? {} : { rev: Number(rev) }),
});

/** Those of the revision that is shown; its owner may change those of the newest. */
export async function picturesOf(bench: Bench, archive: Archive, { id, doc, revision, newest, member }: ShownSetup): Promise<PicturesView> {
  const found = doc.pictures ? await archive.pictures({ ...whose(bench, String(id), String(revision.rev)) }) : null;
  const pictures = found?.kind === 'pictures' ? found.pictures : [];
  const mine = member.id === bench.asker.member && revision.rev === newest;
  return {
    shown: pictures.map((bytes, i) => ({
      href: `/setups/${id}/pictures/${i + 1}.webp?rev=${revision.rev}`,
      alt: `Picture ${i + 1} of ${pictures.length} on ${clean(doc.name, { graphemes: 60 })}`,
      ...keptPicture(bytes)!,
      remove: mine ? `/setups/${id}/pictures/${i + 1}` : null,
    })),
    hidden: once(),
    handIn:
      mine && pictures.length < PICTURE.each
        ? {
            action: `/setups/${id}/pictures`,
            heading: pictures.length === 0 ? 'Add a picture' : 'Add another picture',
            id: 'p-file',
            label: 'Picture',
            accept: 'image/jpeg,image/png,image/webp',
            hint: 'JPEG, PNG or WebP. Where it was taken, and by which camera, is not kept',
            button: 'Add this picture',
            fields: [],
            hidden: once(),
          }
        : null,
  };
}

/** `2.webp` */
export async function setupPicture(bench: Bench, id: string, file: string, query: URLSearchParams): Promise<Sent | null> {
  const number = /^([1-9])\.webp$/.exec(file)?.[1];
  if (number === undefined || !isNumber(id) || !bench.house.archive) return null;
  const found = await bench.house.archive.pictures(whose(bench, id, query.get('rev')));
  const bytes = found.kind === 'pictures' ? found.pictures[Number(number) - 1] : undefined;
  return bytes ? { kind: 'file', type: PICTURE.type, bytes } : null;
}

export async function addPicture(bench: Bench, id: string, upload: Upload): Promise<Sent> {
  if (!isNumber(id)) return another(bench, id, ['Setups have numbers.']);
  if (!upload.files.has('file')) return another(bench, id, ['No picture was chosen.']);
  const { reply, sent } = await done(bench, 'setup picture', { name: id }, upload);
  return sent ?? another(bench, id, reply.text.split('\n'));
}

export async function takePicture(bench: Bench, id: string, number: string, fields: URLSearchParams): Promise<Sent> {
  if (!isNumber(id)) return another(bench, id, ['Setups have numbers.']);
  const { reply, sent } = await done(bench, 'setup picture', { name: id, remove: number }, { fields, files: new Map() });
  return sent ?? another(bench, id, reply.text.split('\n'));
}

const another = (bench: Bench, id: string, sentences: readonly string[]): Sent =>
  notice(bench, 422, {
    heading: 'This needs another look',
    sentences,
    links: isNumber(id) ? [{ href: `/setups/${id}#pictures`, label: 'Back to the setup' }] : [],
  });
