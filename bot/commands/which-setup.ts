/** Which setup is meant: by name or number, an earlier revision of it, or the code of another club. */
import type { WhichSetup } from '../../worksheets/archive/types.ts';
import { problem } from '../../worksheets/engine/problem.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import type { Pit } from './pit.ts';
import type { Message, OptionSpec } from './types.ts';

export const NAME: OptionSpec = { name: 'name', description: 'Its name, or its number from find', suggests: true };
export const REV: OptionSpec = { name: 'rev', description: 'An earlier revision: 1, 2, …', kind: 'word' };
export const CODE: OptionSpec = { name: 'code', description: 'The code that another club gave you, in place of a name' };

/** By number or by name; one's own first. */
export const whichSetup = (
  { club, member }: Pick<Message['asker'], 'club' | 'member'>,
  typed: string,
): WhichSetup & { readonly member: string } =>
  /^\d{1,9}$/.test(typed) ? { club, member, id: Number(typed) } : { club, member, name: typed };

export function revIn({ face }: Pit, options: Message['options']): number | undefined | Problem {
  if (options.rev === undefined) return undefined;
  const rev = Number(options.rev);
  if (Number.isInteger(rev) && rev > 0) return rev;
  return problem('rev', options.rev, 'Give 1, 2, …', `Rev: "${face.safe(options.rev)}" is no revision. Give 1, 2, …`);
}
