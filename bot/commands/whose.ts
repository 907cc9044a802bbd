/** Whose truck a message speaks of. Everybody in the club may look; a member changes only their own. */
import type { MemberName, Records, TruckBook } from '../../worksheets/archive/types.ts';
import type { Problems } from '../../worksheets/engine/types.ts';
import { truckFor } from './pit.ts';
import type { Message } from './types.ts';

/** Whose trucks are looked at: the asker's, or those of the member named. */
export async function ownerOf(records: Records, { options, asker }: Message): Promise<MemberName | Problems> {
  const of = options.of?.trim();
  return of ? records.memberCalled({ club: asker.club, name: of }) : { id: asker.member, name: asker.memberName };
}

/** The truck that is looked at. Of another member without a name: the one they use. */
export async function bookFor(records: Records, message: Message): Promise<{ readonly book: TruckBook; readonly own: boolean } | Problems> {
  const { asker, options } = message;
  const owner = await ownerOf(records, message);
  if ('kind' in owner) return owner;
  const truck = await truckFor(records, { options, asker: { ...asker, member: owner.id } });
  const book = await records.truckBook({ club: asker.club, member: owner.id, truck });
  return book.kind === 'problems' ? book : { book, own: owner.id === asker.member };
}

export const whose = ({
  club,
  member,
  memberName,
}: Message['asker']): { readonly club: string; readonly member: string; readonly memberName: string } => ({
  club,
  member,
  memberName,
});
