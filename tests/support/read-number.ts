/** Reads a printed number as a member does: true minus, thin spaces, powers of ten; and says what half of its last digit is. */
export interface Read {
  readonly value: number;
  readonly halfDigit: number;
}

const superscript: { readonly [sign: string]: string } = Object.fromEntries([...'⁰¹²³⁴⁵⁶⁷⁸⁹'].map((sign, i) => [sign, String(i)]));

export function readNumber(printed: string): Read {
  const found = /^(−?)([\d\u2009]+)(?:\.(\d+))?(?: × 10(⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))?$/.exec(printed);
  if (!found) throw new Error(`"${printed}" is not written as a number`);
  const [, minus, whole = '', fraction = '', power] = found;
  const exponent = power === undefined ? 0 : Number([...power].map((sign) => superscript[sign] ?? '-').join(''));
  const digits = Number(`${minus === '' ? '' : '-'}${whole.replaceAll('\u2009', '')}.${fraction}e${exponent}`);
  return { value: digits, halfDigit: Number(`0.5e${exponent - fraction.length}`) };
}
