/** What every formula of calc is made of: SI-branded numbers, one declaration of inputs and results, and guards that name the input. */

declare const unitOf: unique symbol;

/** A number in SI units whose unit the compiler knows: `SI<'N/m'>` does not go where `SI<'kg'>` is wanted. */
export type SI<U extends string> = number & { readonly [unitOf]: U };

/** Says "this number is in SI units". The unit comes from where it is used: `rideFrequency({ wheelRate: si(400), … })`. */
export const si = <U extends string>(value: number): SI<U> => value as SI<U>;

/** Physics has no answer. `message` reads on after "That does not work out: "; `input` names the input to look at, if there is one. */
export class DomainError extends Error {
  override readonly name = 'DomainError';
  constructor(
    readonly input: string | null,
    message: string,
  ) {
    super(message);
  }
}

/** A result that is not there, with its reason in a word or two ("never", "parallel", "no oscillation"). */
export interface Absent {
  readonly absent: string;
}
export const absent = (why: string): Absent => ({ absent: why });
export const isAbsent = (value: unknown): value is Absent => typeof value === 'object' && value !== null && 'absent' in value;

// ── inputs ──────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A number in SI, with the bounds outside which the formula has no meaning (not the range of what is usual: that is the sheet's). */
export interface NumberSpec<U extends string = string> {
  readonly kind: 'number';
  readonly unit: U;
  readonly above?: number;
  readonly min?: number;
  readonly below?: number;
  readonly max?: number;
  readonly whole?: boolean;
}
/** A number, or one word that stands in its place (`off`: not on the truck). */
export interface NumberOrWordSpec<U extends string = string, W extends string = string> extends Omit<NumberSpec<U>, 'kind'> {
  readonly kind: 'number or word';
  readonly word: W;
}
export interface ChoiceSpec<C extends string = string> {
  readonly kind: 'choice';
  readonly choices: readonly C[];
}
export interface TextSpec {
  readonly kind: 'text';
}
export interface FlagSpec {
  readonly kind: 'flag';
}
/** A list of one thing (`item` is a spec) or of several side by side (`item` is a record of specs). */
export interface ListSpec<I extends ItemSpec = ItemSpec> {
  readonly kind: 'list';
  readonly item: I;
  readonly atLeast: number;
}
export type ItemSpec = Spec | { readonly [part: string]: Spec };
// biome-ignore lint/suspicious/noExplicitAny: the item of a list is a spec again; TypeScript needs one loose end in that circle
export type Spec = NumberSpec | NumberOrWordSpec | ChoiceSpec | TextSpec | FlagSpec | ListSpec<any>;
export interface OptionalSpec<S extends Spec = Spec> {
  readonly kind: 'optional';
  readonly of: S;
}
export type InputSpecs = { readonly [name: string]: Spec | OptionalSpec };

type Bounds = Omit<NumberSpec, 'kind' | 'unit'>;
const number =
  (bounds: Bounds) =>
  <const U extends string>(unit: U): NumberSpec<U> => ({ kind: 'number', unit, ...bounds });
/** Any finite number. */
export const real = number({});
/** Above zero. */
export const positive = number({ above: 0 });
/** Zero or above. */
export const notNegative = number({ min: 0 });
/** A whole number from 1. */
export const counted = number({ min: 1, whole: true });
/** A part of the whole, 0 to 1. */
export const share = (): NumberSpec<'1'> => ({ kind: 'number', unit: '1', min: 0, max: 1 });
/** A number within bounds of its own: `within('rad', { above: 0, below: Math.PI / 2 })`. */
export const within = <const U extends string>(unit: U, bounds: Bounds): NumberSpec<U> => ({ kind: 'number', unit, ...bounds });
export const orWord = <const U extends string, const W extends string>(word: W, spec: NumberSpec<U>): NumberOrWordSpec<U, W> => ({
  ...spec,
  kind: 'number or word',
  word,
});
export const oneOf = <const C extends string>(...choices: C[]): ChoiceSpec<C> => ({ kind: 'choice', choices });
export const text = (): TextSpec => ({ kind: 'text' });
export const flag = (): FlagSpec => ({ kind: 'flag' });
export const list = <const I extends ItemSpec>(item: I, atLeast = 1): ListSpec<I> => ({ kind: 'list', item, atLeast });
export const optional = <const S extends Spec>(of: S): OptionalSpec<S> => ({ kind: 'optional', of });

export type Value<S> =
  S extends NumberSpec<infer U>
    ? SI<U>
    : S extends NumberOrWordSpec<infer U, infer W>
      ? SI<U> | W
      : S extends ChoiceSpec<infer C>
        ? C
        : S extends TextSpec
          ? string
          : S extends FlagSpec
            ? boolean
            : S extends ListSpec<infer I>
              ? readonly Item<I>[]
              : never;
type Item<I> = I extends { readonly kind: string } ? Value<I> : { readonly [P in keyof I]: Value<I[P]> };

type OptionalNames<I extends InputSpecs> = { [N in keyof I]: I[N] extends OptionalSpec ? N : never }[keyof I];
export type Inputs<I extends InputSpecs> = { readonly [N in Exclude<keyof I, OptionalNames<I>>]: Value<I[N]> } & {
  readonly [N in OptionalNames<I>]?: (I[N] extends OptionalSpec<infer S> ? Value<S> : never) | undefined;
};

// ── results ─────────────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A result that can be absent with a reason, or left out (undefined) when the optional inputs it needs were not given. */
export interface MaybeSpec<U extends string = string> {
  readonly kind: 'maybe';
  readonly unit: U;
}
/** Columns of equal length, for a curve: `table({ time: 's', speed: 'm/s' })`. */
export interface TableSpec<C extends { readonly [column: string]: string } = { readonly [column: string]: string }> {
  readonly kind: 'table';
  readonly columns: C;
}
/** A unit ('N/m'), 'yes/no', 'text', `maybe(unit)` or `table({…})`. */
export type ResultSpec = string | MaybeSpec | TableSpec;
export type ResultSpecs = { readonly [name: string]: ResultSpec };
export const maybe = <const U extends string>(unit: U): MaybeSpec<U> => ({ kind: 'maybe', unit });
export const table = <const C extends { readonly [column: string]: string }>(columns: C): TableSpec<C> => ({ kind: 'table', columns });

type Plain<U> = U extends 'yes/no' ? boolean : U extends 'text' ? string : number;
type Branded<U> = U extends 'yes/no' ? boolean : U extends 'text' ? string : U extends string ? SI<U> : never;
type RawResult<R> =
  R extends MaybeSpec<infer U>
    ? Plain<U> | Absent | undefined
    : R extends TableSpec<infer C>
      ? { readonly [N in keyof C]: readonly number[] }
      : Plain<R>;
export type Result<R> =
  R extends MaybeSpec<infer U>
    ? Branded<U> | Absent | undefined
    : R extends TableSpec<infer C>
      ? { readonly [N in keyof C]: readonly SI<C[N] & string>[] }
      : Branded<R>;
export type RawResults<R extends string | ResultSpecs> = R extends string ? RawResult<R> : { readonly [N in keyof R]: RawResult<R[N]> };
export type Results<R extends string | ResultSpecs> = R extends string ? Result<R> : { readonly [N in keyof R]: Result<R[N]> };

/** A formula: call it with SI values; the engine and the docs read `inputs` and `results`. */
export interface Formula<I extends InputSpecs = InputSpecs, R extends string | ResultSpecs = string | ResultSpecs> {
  (inputs: Inputs<I>): Results<R>;
  readonly kind: 'formula';
  readonly inputs: I;
  readonly results: R;
}
export const isFormula = (value: unknown): value is Formula =>
  typeof value === 'function' && (value as Partial<Formula>).kind === 'formula';

/**
 * Declares a formula once, for TypeScript, the engine and the docs.
 *
 * The guards run before the body, so the body is the formula and nothing else. What comes out is finite, or a DomainError.
 */
export function formula<const I extends InputSpecs, const R extends string | ResultSpecs>(
  inputs: I,
  results: R,
  body: (inputs: Inputs<I>) => RawResults<R>,
): Formula<I, R> {
  const run = (given: Inputs<I>): Results<R> => {
    for (const name in inputs) guardInput(name, inputs[name]!, (given as Record<string, unknown>)[name]);
    const result: unknown = body(given);
    if (typeof results === 'string') guardResult('the result', result);
    else for (const name in results) guardResult(inWords(name), (result as Record<string, unknown>)[name]);
    return result as Results<R>;
  };
  return Object.assign(run, { kind: 'formula' as const, inputs, results }) as Formula<I, R>;
}

/** `frontWheelRate` → "front wheel rate". */
export const inWords = (name: string): string => name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);

function guardInput(name: string, spec: Spec | OptionalSpec, value: unknown): void {
  if (spec.kind === 'optional') {
    if (value !== undefined) guardInput(name, spec.of, value);
    return;
  }
  const refuse = (needs: string): never => {
    throw new DomainError(name, `${inWords(name)} has to be ${needs}`);
  };
  switch (spec.kind) {
    case 'number or word':
      if (value === spec.word) return;
      guardNumber(spec, value, refuse);
      return;
    case 'number':
      guardNumber(spec, value, refuse);
      return;
    case 'choice':
      if (!spec.choices.includes(value as string)) refuse(`one of ${spec.choices.join(', ')}`);
      return;
    case 'text':
      if (typeof value !== 'string') refuse('a text');
      return;
    case 'flag':
      if (typeof value !== 'boolean') refuse('yes or no');
      return;
    case 'list': {
      if (!Array.isArray(value) || value.length < spec.atLeast) refuse(`a list of at least ${spec.atLeast}`);
      const item = spec.item as ItemSpec;
      for (const each of value as unknown[]) {
        if (isSpec(item)) guardInput(name, item, each);
        else for (const part in item) guardInput(name, item[part]!, (each as Record<string, unknown> | undefined)?.[part]);
      }
    }
  }
}

const isSpec = (item: ItemSpec): item is Spec => typeof (item as Spec).kind === 'string';

function guardNumber(spec: Omit<NumberSpec, 'kind'>, value: unknown, refuse: (needs: string) => never): void {
  if (typeof value !== 'number' || !Number.isFinite(value)) refuse('a finite number');
  const is = value as number;
  if (spec.above !== undefined && !(is > spec.above)) refuse(`above ${amount(spec.above)}`);
  if (spec.min !== undefined && !(is >= spec.min)) refuse(`${amount(spec.min)} or more`);
  if (spec.below !== undefined && !(is < spec.below)) refuse(`below ${amount(spec.below)}`);
  if (spec.max !== undefined && !(is <= spec.max)) refuse(`${amount(spec.max)} at most`);
  if (spec.whole && !Number.isInteger(is)) refuse('a whole number');
}
const amount = (bound: number): string => (bound === 0 ? 'zero' : String(bound));

function guardResult(name: string, value: unknown): void {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new DomainError(null, `${name} has no finite value here`);
  if (value !== null && typeof value === 'object' && !isAbsent(value))
    for (const column of Object.values(value))
      if (Array.isArray(column) && !column.every(Number.isFinite)) throw new DomainError(null, `${name} has no finite value here`);
}
