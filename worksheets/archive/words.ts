/** Words for finding. Both sides, what is kept and what is typed, go through here, so every engine is forgiving in the same way. */

/** Letters that no normal form takes apart, though people type them without their stroke or ligature. */
const PLAIN: { readonly [letter: string]: string } = {
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  đ: 'd',
  ð: 'd',
  ł: 'l',
  þ: 'th',
  ı: 'i',
  ς: 'σ',
};

/** Accents of Latin, Greek and Cyrillic, and the vowel points that Arabic and Hebrew usually leave out. Marks of other scripts are letters. */
const ACCENTS = /[\u0300-\u036f\u0591-\u05bd\u05bf-\u05c7\u064b-\u065f\u0670]/gu;

export const fold = (text: string): string =>
  text
    .toLowerCase()
    .normalize('NFKD')
    // Once more: taken apart, "𝐒" and "ᴬ" are plain capitals.
    .toLowerCase()
    .replace(ACCENTS, '')
    .replace(/[ßæœøđðłþıς]/gu, (letter) => PLAIN[letter] ?? letter)
    .normalize('NFC');

/** The words of a text, folded: runs of letters, numbers and the marks that belong to them. */
export const wordsOf = (text: string): string[] => fold(text).match(/[\p{L}\p{N}\p{M}]+/gu) ?? [];

/**
 * Characters nobody sees: controls, direction switches (they can turn the rest of a card round), soft hyphen, zero-width space. The joiners
 * U+200C and U+200D stay: Persian and many emoji are spelt with them.
 */
export const UNSEEN = /[\p{Cc}\u00ad\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/gu;
