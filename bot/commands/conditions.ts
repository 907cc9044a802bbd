/** What the day was like, as a member types it. */
import type { Conditions } from '../../worksheets/archive/types.ts';
import { readQuantity } from '../../worksheets/engine/quantity.ts';
import { unit } from '../../worksheets/engine/units.ts';
import type { Message } from './types.ts';

/** undefined: none was said. */
export function conditionsIn({ track, surface, grip, temperature, wind }: Message['options']): Conditions | undefined {
  const said = Object.entries({ track, surface, grip, wind }).flatMap(([name, text]) =>
    text?.trim() ? [[name, text.trim()] as const] : [],
  );
  const typed = temperature?.trim();
  if (said.length === 0 && !typed) return undefined;
  const read = typed ? readQuantity(typed, { kind: 'temperature', unit: unit('°C')! }) : undefined;
  const value = read && 'ok' in read ? read.ok.value : null;
  return {
    ...Object.fromEntries(said),
    ...(typed ? { temperature: { typed: /^[-−+]?[\d.,]+$/.test(typed) ? `${typed} °C` : typed, value } } : {}),
  };
}
