/** What stops the archive. A member's slip is never one of these: slips come back as `Problems`, as data. */

export type ArchiveFault =
  /** There is no file, and none was asked for. */
  | 'missing'
  /** The file has no bytes; SQLite would take it for a new database. */
  | 'empty'
  /** Not one of our files. */
  | 'foreign'
  /** Written by a later version of the house. */
  | 'newer'
  /** Written by an earlier version, and not to be brought up to date now. */
  | 'older'
  /** There is something already where something is to be put. */
  | 'taken'
  | 'damaged'
  /** No SQLite, or one that is too old. */
  | 'driver'
  /** The disk is full: what was asked can still be answered, only not kept. */
  | 'full'
  /** Another process has held the file for too long. */
  | 'busy'
  /** The disk refuses: read-only, unplugged, no rights. */
  | 'disk'
  /** The database server does not answer. */
  | 'away'
  /** The database server does not let us in, or not do what is needed. */
  | 'rights'
  | 'closed';

/** `message` is one sentence that can be shown as it is. When it is thrown, nothing of the call has been stored. */
export class ArchiveError extends Error {
  override readonly name = 'ArchiveError';
  constructor(
    readonly kind: ArchiveFault,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

export const older = (name: string): ArchiveError =>
  new ArchiveError(
    'older',
    `The archive ${name} is of an earlier version: start the bot once, which keeps a copy and brings it up to date.`,
  );
