/** A parts list at two moments: what was moved, put on or taken off. */
import type { SetupPart } from '../../worksheets/archive/types.ts';

const placed = ({ place }: SetupPart): string =>
  place === null ? '' : place === 'off' ? 'off' : `${Number((place * 1000).toFixed(3))} mm`;
const onTruck = (part: SetupPart | undefined): part is SetupPart => part !== undefined && part.place !== 'off';

/** "pack 230 mm → 190 mm", "light bar off": the parts list then and now, as far as it is a change of the truck. */
export function partsChanged(were: readonly SetupPart[], are: readonly SetupPart[]): string[] {
  const names = new Set([...were, ...are].map(({ name }) => name));
  return [...names].flatMap((name) => {
    const was = were.find((part) => part.name === name);
    const is = are.find((part) => part.name === name);
    if (!onTruck(was) && onTruck(is)) return was === undefined ? [] : [`${name} on${is.place === null ? '' : ` at ${placed(is)}`}`];
    if (onTruck(was) && is !== undefined && !onTruck(is)) return [`${name} off`];
    if (!onTruck(was) || !onTruck(is)) return [];
    return [
      ...(placed(was) === placed(is) || was.place === null ? [] : [`${name} ${placed(was)} → ${placed(is) || 'somewhere'}`]),
      ...(was.mass * was.count === is.mass * is.count ? [] : [`${name} ${grams(was)} → ${grams(is)} g`]),
    ];
  });
}
const grams = ({ mass, count }: SetupPart): number => Number((mass * count * 1000).toFixed(3));

/**
 * One part at several moments, as far as it differs: "260 mm" and "185 mm" where it was moved, "28 g" and "56 g" where it was exchanged. Where it is
 * not on every list, all that is known of it, and null.
 */
export function partTexts(moments: readonly (SetupPart | undefined)[]): (string | null)[] {
  const isListed = moments.every((part) => part !== undefined);
  const kept = ASPECTS.filter((aspect) => !isListed || new Set(moments.map((part) => aspect(part!))).size > 1);
  return moments.map((part) => (part === undefined ? null : kept.map((aspect) => aspect(part)).join(', ')));
}

const ASPECTS: readonly ((part: SetupPart) => string)[] = [
  ({ count, mass }) => `${count === 1 ? '' : `${count} × `}${Number((mass * 1000).toFixed(3))} g`,
  (part) => placed(part) || 'no place',
  ({ sprung, axle }) => (sprung ? 'sprung' : `unsprung${axle === null ? '' : ` ${axle}`}`),
];
