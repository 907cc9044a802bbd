/**
 * The colours of a card, by role: a layout says `heavy`, the theme says which orange. Okabe and Ito's palette (Color Universal Design, 2008,
 * made for colour-blind readers) on the dark ground; darker relatives of the same hues where the ground is light.
 * A colour never says anything alone: a sign or a shape stands with it.
 */
export type Tone = 'none' | 'ground' | 'panel' | 'rule' | 'text' | 'muted' | 'heavy' | 'light' | 'good';
export type ThemeName = 'dark' | 'light';
export type Theme = { readonly [tone in Exclude<Tone, 'none'>]: string };

export const themes: { readonly [name in ThemeName]: Theme } = {
  dark: {
    ground: '#14171b',
    panel: '#232932',
    rule: '#4a5564',
    text: '#f3f5f7',
    muted: '#aeb8c4',
    heavy: '#E69F00',
    light: '#56B4E9',
    good: '#009E73',
  },
  light: {
    ground: '#fbfaf7',
    panel: '#f0eee9',
    rule: '#a9aba8',
    text: '#14171b',
    muted: '#4b545f',
    heavy: '#A85400',
    light: '#0067A5',
    good: '#007A58',
  },
};

/**
 * Text is set in these tones only: 4.5 : 1 and more on ground and panel (WCAG 2.2, 1.4.3). `good` and `rule` are for marks; `ground` is for
 * words on a solid `heavy`.
 */
export type TextTone = 'text' | 'muted' | 'heavy' | 'light' | 'ground';

/** Sizes in units of the canvas; a phone shows them at two thirds, so nothing is set under 16. */
export const sizes = { small: 16, body: 17, act: 18, title: 18, value: 25, big: 36, hero: 76 } as const;
export const strokes = { hair: 1, line: 2, bold: 3.5 } as const;

/** The canvas, in units; a PNG has twice as many px. */
export const canvas = { width: 540, height: 344, margin: 20 } as const;
