import { ArchiveError } from '../errors.ts';

export const damaged = (file: string, how: string): ArchiveError =>
  new ArchiveError(
    'damaged',
    `The archive "${file}" is damaged (${how.replace(/\s+/g, ' ').slice(0, 120)}): it was left as it is; keep it, and put the newest copy in its place.`,
  );

/** Says what went wrong with the file, when it was the disk or SQLite and not us. `code` is a result code of SQLite or of the system. */
export function explain(error: unknown, file: string, code: string | undefined): ArchiveError | undefined {
  if (error instanceof ArchiveError) return error;
  const because = { cause: error };
  const said = error instanceof Error ? error.message : String(error);
  switch (code) {
    case 'FULL':
    case 'ENOSPC':
    case 'EDQUOT':
      return new ArchiveError('full', 'The disk of the archive is full: this could not be kept.', because);
    case 'BUSY':
    case 'LOCKED':
      return new ArchiveError('busy', 'The archive is held by another program, so this could not be kept: try again in a moment.', because);
    case 'CORRUPT':
    case 'NOTADB':
      return damaged(file, said);
    case 'READONLY':
    case 'PERM':
    case 'CANTOPEN':
    case 'IOERR':
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
    case 'EIO':
    case 'ENOTDIR':
    case 'EEXIST':
    case 'ENOENT':
      return new ArchiveError('disk', `The disk of the archive "${file}" refuses (${said}).`, because);
    default:
      return undefined;
  }
}
