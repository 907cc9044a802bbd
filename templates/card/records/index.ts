/** Every portrait there is. */
import { comparedPortrait } from './compared.ts';
import { setupPortrait } from './setup.ts';
import { truckPortrait } from './truck.ts';

export const portraits = { truck: truckPortrait, setup: setupPortrait, compared: comparedPortrait };
export type Portraits = typeof portraits;
