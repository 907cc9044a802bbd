/** Inputs that make no sense, made from an example's good ones: what a formula has to refuse by name. */
import type { Formula, ItemSpec, NumberSpec, OptionalSpec, Spec } from '../../calc/formula.ts';

export interface Edge {
  /** What is wrong: "wheel rate is NaN". */
  readonly what: string;
  /** Names that the refusal may give: the input's, or for a list of rows the part's. */
  readonly names: readonly string[];
  readonly inputs: Record<string, unknown>;
}

const isSpec = (item: ItemSpec): item is Spec => typeof (item as Spec).kind === 'string';

/** Numbers that the spec rules out: not finite, at or beyond each bound, between whole ones. */
function badNumbers({ above, min, below, max, whole }: Omit<NumberSpec, 'kind' | 'unit'>): number[] {
  const bad = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  const step = (bound: number): number => Math.max(Math.abs(bound), 1) * 1e-9;
  if (above !== undefined) bad.push(above, above - step(above), above - 1);
  if (min !== undefined) bad.push(min - step(min), min - 1);
  if (below !== undefined) bad.push(below, below + step(below), below + 1);
  if (max !== undefined) bad.push(max + step(max), max + 1);
  if (whole) bad.push((min ?? above ?? 0) + 1.5);
  return bad;
}

function badValues(spec: Spec, good: unknown): unknown[] {
  switch (spec.kind) {
    case 'number':
      return [...badNumbers(spec), 'twelve', null];
    case 'number or word':
      return [...badNumbers(spec), `not ${spec.word}`, null];
    case 'choice':
      return ['no such choice', 1];
    case 'text':
      return [1, null];
    case 'flag':
      return ['yes', 1];
    case 'list': {
      const items = Array.isArray(good) ? good : [];
      return ['no list', ...(spec.atLeast > 0 ? [items.slice(0, spec.atLeast - 1)] : [])];
    }
  }
}

const shown = (value: unknown): string =>
  Array.isArray(value) ? `a list of ${value.length}` : typeof value === 'string' ? `"${value}"` : String(value);

function* ofItems(name: string, item: ItemSpec, good: readonly unknown[], inputs: Record<string, unknown>): Generator<Edge> {
  for (const place of new Set([0, good.length - 1])) {
    if (place < 0) continue;
    const withItem = (value: unknown): Record<string, unknown> => ({
      ...inputs,
      [name]: good.map((each, i) => (i === place ? value : each)),
    });
    if (isSpec(item)) {
      for (const bad of [...badValues(item, good[place]), undefined])
        yield { what: `item ${place + 1} of ${name} is ${shown(bad)}`, names: [name], inputs: withItem(bad) };
      continue;
    }
    const row = good[place] as Record<string, unknown>;
    for (const [part, spec] of Object.entries(item))
      for (const bad of [...badValues(spec, row[part]), undefined])
        yield {
          what: `${part} of item ${place + 1} of ${name} is ${shown(bad)}`,
          names: [name, part],
          inputs: withItem({ ...row, [part]: bad }),
        };
  }
}

/** Every edge of every declared input, one at a time, the others as in the example. */
export function* edges(formula: Formula, good: Record<string, unknown>): Generator<Edge> {
  for (const [name, declared] of Object.entries(formula.inputs)) {
    const isOptional = declared.kind === 'optional';
    const spec = isOptional ? (declared as OptionalSpec).of : (declared as Spec);
    if (!isOptional) {
      const { [name]: _, ...others } = good;
      yield { what: `${name} is missing`, names: [name], inputs: others };
    }
    for (const bad of badValues(spec, good[name]))
      yield { what: `${name} is ${shown(bad)}`, names: [name], inputs: { ...good, [name]: bad } };
    if (spec.kind === 'list' && Array.isArray(good[name])) yield* ofItems(name, spec.item as ItemSpec, good[name], good);
  }
}
