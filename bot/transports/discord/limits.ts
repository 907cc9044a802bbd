/**
 * Discord's limits, in one place.
 *
 * Source: Discord's developer documentation, pages "Application Commands", "Receiving and Responding", "Message", 2026-08.
 * Lengths are counted here in UTF-16 units, of which a text never has fewer than the characters that Discord counts.
 */
export const LIMIT = {
  name: /^[-_'\p{L}\p{N}\p{sc=Deva}\p{sc=Thai}]{1,32}$/u,
  description: 100,
  /** Of a command, or of one of its subcommands; also the number of subcommands. */
  options: 25,
  choices: 25,
  choice: 100,
  /** All names, descriptions and values of one command together. */
  command: 8000,
  /** Slash commands of one server, or global ones. */
  commands: 100,
  suggestions: 25,
  content: 2000,
  altText: 1024,
  fileBytes: 10 * 1024 * 1024,
} as const;

/** Cut at a character, never in the middle of one. */
function cut(text: string, most: number): string {
  const last = text.charCodeAt(most - 1);
  return text.slice(0, last >= 0xd800 && last <= 0xdbff ? most - 1 : most);
}

/** The text on one line, shortened at a word where it is too long. */
export function shorten(text: string, most: number): string {
  const line = text.replace(/\s+/g, ' ').trim();
  if (line.length <= most) return line;
  const room = cut(line, most - 1);
  const space = line[room.length] === ' ' ? room.length : room.lastIndexOf(' ');
  return `${(space > 0 ? room.slice(0, space) : room).replace(/[\s,;:–—-]+$/, '')}…`;
}

/** The whole text in messages that Discord takes, parted at line ends where there are any, else at words. */
export function pieces(text: string, most: number = LIMIT.content): readonly string[] {
  const parts: string[] = [];
  let rest = text.trim();
  while (rest.length > most) {
    const room = rest.slice(0, most + 1);
    const line = room.lastIndexOf('\n');
    const end = line > 0 ? line : room.lastIndexOf(' ');
    const part = end > 0 ? rest.slice(0, end) : cut(rest, most);
    parts.push(part.trimEnd());
    rest = rest.slice(part.length).trimStart();
  }
  return rest === '' ? parts : [...parts, rest];
}
