/** What the day was like, as a member types it. */
import type { Conditions } from '../../worksheets/archive/types.ts';
import { slipProblem } from '../../worksheets/engine/problem.ts';
import { readQuantity } from '../../worksheets/engine/quantity.ts';
import type { Problem } from '../../worksheets/engine/types.ts';
import { unit } from '../../worksheets/engine/units.ts';
import type { Message } from './types.ts';

/** K, −40 and 60 °C: beyond these nobody drives. */
const COLDEST = 233.15;
const HOTTEST = 333.15;

/**
 * A temperature may be a word, as grip and wind are: "warm" says how the day was, and nothing is worked out from it. What is a number has to be one
 * of the air: 240 was to be 24.0.
 */
export function temperatureSlip({ temperature }: Message['options']): Problem | null {
  const typed = temperature?.trim() ?? '';
  const spec = { kind: 'temperature', unit: unit('°C')! };
  const read = readQuantity(typed, spec);
  if ('slip' in read) return null;
  const checked = readQuantity(typed, { ...spec, min: COLDEST, max: HOTTEST });
  return 'slip' in checked ? slipProblem('temperature', typed, checked.slip) : null;
}

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
