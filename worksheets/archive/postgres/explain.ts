import { ArchiveError, type ArchiveFault } from '../errors.ts';

/** What pg says itself, without a code, when a connection is gone. */
const GONE =
  /^(Connection terminated|Client has encountered a connection error|Query read timeout|Postgres connection has been discarded|driver has already)/;
const SOCKET = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'ENOTFOUND',
  'EAI_AGAIN',
  'ETIMEDOUT',
  'EPIPE',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'ENOENT',
  'EACCES',
]);

/** SQLSTATE (PostgreSQL 15, Appendix A) → what stops the archive; the longest beginning that fits counts. */
const STATES: { readonly [state: string]: ArchiveFault } = {
  '08': 'away',
  '57P': 'away',
  '53100': 'full',
  '53': 'busy',
  '55P03': 'busy',
  '57014': 'busy',
  '40001': 'busy',
  '40P01': 'busy',
  '25P03': 'busy',
  '28': 'rights',
  '42501': 'rights',
  '3D000': 'missing',
  '25006': 'disk',
  '58': 'disk',
  XX001: 'damaged',
  XX002: 'damaged',
};

/** Says what went wrong with the database `name`, when it was the database and not us. */
export function explainer(name: string): (error: unknown) => ArchiveError | undefined {
  const sentences: { readonly [fault in ArchiveFault]?: (said: string) => string } = {
    away: () => `The database ${name} does not answer, so the archive cannot be reached: try again in a moment.`,
    full: () => 'The disk of the archive is full: this could not be kept.',
    busy: () => `The database ${name} is held up by others, so this could not be kept: try again in a moment.`,
    rights: (said) => `The database ${name} refuses (${said}): look at the name, the password and the rights in DATABASE_URL.`,
    missing: () => `There is no database ${name}: make it, or mend DATABASE_URL.`,
    disk: (said) => `The disk of the database ${name} refuses (${said}).`,
    damaged: (said) => `The archive in ${name} is damaged (${said}): it was left as it is; put the newest copy in its place.`,
  };
  return (error) => {
    if (error instanceof ArchiveError) return error;
    const fault = faultOf(error);
    const sentence = fault && sentences[fault];
    if (!sentence) return undefined;
    const said = (error instanceof Error ? error.message : String(error)).replace(/\s+/g, ' ').slice(0, 120);
    return new ArchiveError(fault, sentence(said), { cause: error });
  };
}

function faultOf(error: unknown): ArchiveFault | undefined {
  if (!(error instanceof Error)) return undefined;
  // Tried at several addresses, each of which refused.
  if (error instanceof AggregateError) return faultOf(error.errors[0]);
  const { code } = error as { code?: unknown };
  if (typeof code !== 'string') {
    if (error.message === 'timeout exceeded when trying to connect') return 'busy';
    return GONE.test(error.message) ? 'away' : undefined;
  }
  if (SOCKET.has(code)) return 'away';
  for (const length of [5, 3, 2]) {
    const fault = code.length === 5 ? STATES[code.slice(0, length)] : undefined;
    if (fault) return fault;
  }
  return undefined;
}
