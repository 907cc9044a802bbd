/** What a cell of a sheet holds, and how that meets what a formula of calc takes and gives. */
import type { ItemSpec, ResultSpec, Spec } from '../../calc/formula.ts';
import { toSnake } from './names.ts';
import { type Dims, dimsInWords, sameDims, unit } from './units.ts';

/** What a cell holds. */
export type CellType =
  | { readonly kind: 'number'; readonly dims: Dims }
  | { readonly kind: 'flag' }
  | { readonly kind: 'text' }
  | { readonly kind: 'choice'; readonly choices: readonly string[] }
  | { readonly kind: 'list'; readonly item: ListType; readonly atLeast: number }
  | { readonly kind: 'table'; readonly columns: Readonly<Record<string, Dims>> }
  | { readonly kind: 'record'; readonly fields: Readonly<Record<string, CellType>> };
export type PartType =
  | { readonly kind: 'number'; readonly dims: Dims }
  | { readonly kind: 'number or word'; readonly dims: Dims; readonly word: string }
  | { readonly kind: 'text' }
  | { readonly kind: 'several'; readonly of: PartType };
export type ListType = PartType | { readonly kind: 'row'; readonly parts: Readonly<Record<string, PartType>> };

export const numberType = (dims: Dims): { readonly kind: 'number'; readonly dims: Dims } => ({ kind: 'number', dims });
export const sameType = (a: CellType, b: CellType): boolean =>
  a.kind === 'number' && b.kind === 'number' ? sameDims(a.dims, b.dims) : a.kind === b.kind;
export const typeInWords = (type: CellType): string =>
  type.kind === 'number' ? dimsInWords(type.dims) : type.kind === 'flag' ? 'yes/no' : `a ${type.kind}`;
export const dimsOf = (written: string): Dims => {
  const known = unit(written);
  if (!known) throw new Error(`calc declares a unit that the table lacks: ${written}`);
  return known.dims;
};

/** What the formula takes, in words, when the cell does not fit; undefined when it does. */
export function misfit(type: CellType, spec: Spec): string | undefined {
  switch (spec.kind) {
    case 'number': {
      const dims = dimsOf(spec.unit);
      return type.kind === 'number' && sameDims(type.dims, dims) ? undefined : `${dimsInWords(dims)}, not ${typeInWords(type)}`;
    }
    case 'choice': {
      const fits = type.kind === 'choice' && type.choices.every((choice) => spec.choices.includes(choice));
      return fits ? undefined : `one of ${spec.choices.join(', ')}`;
    }
    case 'flag':
      return type.kind === 'flag' ? undefined : 'yes/no';
    case 'text':
      return type.kind === 'text' ? undefined : 'text';
    case 'number or word':
      return 'a part of a list';
    case 'list':
      return type.kind === 'list' && itemFits(type.item, spec.item as ItemSpec) && type.atLeast >= spec.atLeast
        ? undefined
        : `a list of at least ${spec.atLeast} with the parts ${typeof spec.item.kind === 'string' ? 'of one kind' : Object.keys(spec.item).map(toSnake).join(', ')}`;
  }
}
function itemFits(item: ListType, spec: ItemSpec): boolean {
  if (typeof (spec as Spec).kind === 'string') return item.kind !== 'row' && partFits(item, spec as Spec);
  if (item.kind !== 'row') return false;
  const parts = spec as Readonly<Record<string, Spec>>;
  const names = Object.keys(parts);
  return (
    names.length === Object.keys(item.parts).length &&
    names.every((name) => {
      const part = item.parts[toSnake(name)];
      return part !== undefined && partFits(part, parts[name]!);
    })
  );
}
function partFits(part: PartType, spec: Spec): boolean {
  if (spec.kind === 'list') return part.kind === 'several' && partFits(part.of, spec.item as Spec);
  if (spec.kind === 'text') return part.kind === 'text';
  if (spec.kind === 'number or word') return part.kind === spec.kind && part.word === spec.word && sameDims(part.dims, dimsOf(spec.unit));
  return spec.kind === 'number' && part.kind === 'number' && sameDims(part.dims, dimsOf(spec.unit));
}

export function resultType(results: string | Readonly<Record<string, ResultSpec>>): CellType {
  if (typeof results === 'string') return oneResult(results);
  return {
    kind: 'record',
    fields: Object.fromEntries(Object.entries(results).map(([name, result]) => [toSnake(name), oneResult(result)])),
  };
}
function oneResult(result: ResultSpec): CellType {
  if (typeof result !== 'string') {
    if (result.kind === 'maybe') return oneResult(result.unit);
    return { kind: 'table', columns: Object.fromEntries(Object.entries(result.columns).map(([name, u]) => [toSnake(name), dimsOf(u)])) };
  }
  return result === 'yes/no' ? { kind: 'flag' } : result === 'text' ? { kind: 'text' } : numberType(dimsOf(result));
}
