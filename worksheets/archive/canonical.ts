import { createHash } from 'node:crypto';

/**
 * JSON in one fixed spelling, so that equal data has equal text and an equal hash: keys in the order of their UTF-16 units, numbers as
 * ECMAScript writes them, no spaces.
 *
 * Source: RFC 8785, JSON Canonicalization Scheme, 3.2. Stricter in one point: NUL is refused, because PostgreSQL cannot keep it.
 * Throws TypeError for what JSON cannot carry (NaN, a Map, a lone surrogate): that is a slip of ours, never a member's.
 */
export function canonical(value: unknown): string {
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new TypeError(`JSON has no ${value}`);
    return JSON.stringify(value);
  }
  if (typeof value === 'string') {
    if (!isStorable(value)) throw new TypeError('this text holds NUL or half a character');
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (typeof value === 'object' && isPlain(value)) {
    const record = value as Record<string, unknown>;
    const keys = Object.keys(record).filter((key) => record[key] !== undefined);
    // The default sort compares UTF-16 units, as 3.2.3 asks; localeCompare would not.
    return `{${keys
      .sort()
      .map((key) => `${canonical(key)}:${canonical(record[key])}`)
      .join(',')}}`;
  }
  throw new TypeError(`JSON has no ${typeof value === 'object' ? value.constructor.name : typeof value}`);
}

/** Text that every engine keeps as it is: no NUL, no half of a surrogate pair. */
export const isStorable = (text: string): boolean => text.isWellFormed() && !text.includes('\0');

export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

function isPlain(value: object): boolean {
  const prototype: unknown = Object.getPrototypeOf(value);
  return prototype === Object.prototype || prototype === null;
}
