/** The only place that writes SVG: escaping on, strict, no triple braces. Whatever a layout puts into a mark comes out as text. */
import Handlebars from 'handlebars';
import { fontFamily } from './fonts.ts';
import type { Mark } from './scene.ts';
import { canvas, type Theme, type Tone } from './theme.ts';

const source = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {{width}} {{height}}" width="{{pxWidth}}" height="{{pxHeight}}" font-family="{{fontFamily}}">
<rect width="{{width}}" height="{{height}}" fill="{{ground}}"/>
{{#each marks}}
{{> (lookup this "kind")}}
{{/each}}
</svg>
`;
const drawn = `fill="{{fill}}"{{#if washed}} fill-opacity="{{fillOpacity}}"{{/if}}{{#if stroked}} stroke="{{stroke}}" stroke-width="{{strokeWidth}}" stroke-linejoin="round" stroke-linecap="{{cap}}"{{/if}}{{#if dash}} stroke-dasharray="{{dash}}"{{/if}}{{#if name}} class="{{name}}"{{/if}}`;
const partials = {
  text: `<text x="{{x}}" y="{{y}}" font-size="{{size}}" font-weight="{{weight}}" fill="{{fill}}" text-anchor="{{anchor}}">{{string}}</text>\n`,
  path: `<path d="{{d}}" ${drawn}/>\n`,
  rect: `<rect x="{{x}}" y="{{y}}" width="{{w}}" height="{{h}}"{{#if r}} rx="{{r}}"{{/if}} ${drawn}/>\n`,
  circle: `<circle cx="{{cx}}" cy="{{cy}}" r="{{r}}" ${drawn}/>\n`,
};

export type SvgWriter = (marks: readonly Mark[], theme: Theme, scale: number) => string;

export function makeSvgWriter(): SvgWriter {
  const house = Handlebars.create();
  const options = { strict: true, noEscape: false };
  // A partial is compiled with its own options, so each is compiled here: one registered as a string would lose `strict`.
  for (const [name, partial] of Object.entries(partials)) house.registerPartial(name, house.compile(partial, options));
  const template = house.compile(source, options);
  return (marks, theme, scale) => {
    const colour = (tone: Tone): string => (tone === 'none' ? 'none' : theme[tone]);
    return template({
      width: canvas.width,
      height: canvas.height,
      pxWidth: canvas.width * scale,
      pxHeight: canvas.height * scale,
      fontFamily,
      ground: theme.ground,
      marks: marks.map((mark) =>
        mark.kind === 'text'
          ? { ...mark, fill: colour(mark.tone) }
          : {
              ...mark,
              fill: colour(mark.fill),
              washed: mark.fillOpacity !== 1,
              stroke: colour(mark.stroke),
              stroked: mark.stroke !== 'none',
              cap: mark.dash === '' ? 'round' : 'butt',
            },
      ),
    });
  };
}
