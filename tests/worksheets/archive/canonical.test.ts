import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonical, sha256 } from '../../../worksheets/archive/canonical.ts';

const fromBits = (bits: string): number => Buffer.from(bits, 'hex').readDoubleBE(0);

describe('canonical JSON', () => {
  // RFC 8785 (June 2020), Appendix B, Number Serialization Samples.
  for (const [bits, text] of [
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ] as const) {
    it(`writes the number of bits ${bits} as ${text}`, () => expect(canonical(fromBits(bits))).toBe(text));
  }

  it('refuses the numbers that the standard refuses', () => {
    // RFC 8785, Appendix B: 7fffffffffffffff and 7ff0000000000000 are errors.
    for (const bits of ['7fffffffffffffff', '7ff0000000000000', 'fff0000000000000'])
      expect(() => canonical(fromBits(bits))).toThrow(TypeError);
  });

  it('escapes and spells as the example of the standard does', () => {
    // RFC 8785, 3.2.2 and 3.2.3: the same object before and after.
    const before = String.raw`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
      "literals": [null, true, false]
    }`;
    const after = String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`;
    expect(canonical(JSON.parse(before))).toBe(after);
  });

  it('puts keys in the order of their UTF-16 units', () => {
    // RFC 8785, 3.2.3: the emoji, outside of the first plane, comes before U+FB33.
    const before = String.raw`{
      "\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
      "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"
    }`;
    expect(Object.values(JSON.parse(canonical(JSON.parse(before))) as object).sort()).toHaveLength(7);
    const order = ['Carriage Return', 'One', 'Control', 'Latin Small', 'Euro Sign', 'Emoji', 'Hebrew Letter'];
    const text = canonical(JSON.parse(before));
    const places = order.map((value) => text.indexOf(value));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places).not.toContain(-1);
  });

  it('sorts at every depth and leaves lists as they are', () => {
    // structures.json of the reference implementation's test data for RFC 8785 (its authors' repository, testdata/input and output).
    const before = String.raw`{"1": {"f": {"f": "hi","F": 5} ,"\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}`;
    const after = String.raw`{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}`;
    expect(canonical(JSON.parse(before))).toBe(after);
  });

  it('gives back the same data, and the same text whatever the order of the keys', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        fc.pre(!JSON.stringify(value).includes('\\u0000') && !/\\ud[89a-f]/.test(JSON.stringify(value)));
        const text = canonical(value);
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
        expect(canonical(turned(value))).toBe(text);
      }),
      { seed: 8785, numRuns: 300 },
    );
  });

  it('refuses what JSON or a database cannot carry', () => {
    for (const value of [undefined, () => 1, Symbol('x'), 1n, new Map(), new Date(0), 'a\0b', '\ud800', { '\udc00': 1 }, [undefined]]) {
      expect(() => canonical(value)).toThrow(TypeError);
    }
  });

  it('hashes the UTF-8 of a text with SHA-256', () => {
    // FIPS 180-2, Appendix B.1: "abc".
    expect(sha256('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    // The UTF-8 of é is c3 a9; digest of these two bytes by coreutils: printf '\xc3\xa9' | sha256sum.
    expect(sha256('é')).toBe('4a99557e4033c3539de2eb65472017cad5f9557f7a0625a09f1c3f6e2ba69c4c');
  });
});

/** The same value with the keys of every object in the opposite order. */
function turned(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(turned);
  if (value === null || typeof value !== 'object') return value;
  const back = Object.entries(value).reverse();
  return Object.fromEntries(back.map(([key, inner]) => [key, turned(inner)]));
}
