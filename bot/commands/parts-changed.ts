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

/** "312 g at 190 mm", "2 × 18 g, unsprung rear", "312 g, off the truck". */
export function partText(part: SetupPart): string {
  const { count, mass, place, sprung, axle } = part;
  const each = `${Number((mass * 1000).toFixed(3))} g`;
  return [
    `${count === 1 ? '' : `${count} × `}${each}${typeof place === 'number' ? ` at ${placed(part)}` : ''}`,
    ...(sprung ? [] : [`unsprung${axle === null ? '' : ` ${axle}`}`]),
    ...(place === 'off' ? ['off the truck'] : []),
  ].join(', ');
}
