import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadFormulas } from '../../../worksheets/engine/library.ts';
import { loadSheet } from '../../../worksheets/engine/notation.ts';
import { answersOn, field, type OpenBench, openBench, words } from './open-bench.ts';

/** A sheet as a club may write it: every kind of reading, and prose that tries what Markdown can carry. */
const OWN = `---
sheet: lean
title: Lean <on> the scales
summary: Two readings & a word in, the share on the left out.
quick: left right
asks:
  - Does it "lean"?
example: { left: "612", right: "605" }
---

# Before you start

See \`corners\` and \`left\`. <script>alert(1)</script> ![far](http://example.com/x.png) [bad](javascript:alert(1)) [good](https://example.com/)

\`\`\`readings
left    : mass in g  step 1 g  from 10 g to 10 kg   -- left <scale>
right   : mass in g  step 1 g  from 10 g to 10 kg   -- right scale
offset  : 0 g ± 2 g  from -50 g to 50 g             -- what the scale adds
slope   : angle in deg  from -10 deg to 10 deg  optional
settled : yes/no  default yes
surface : one of sand, hard_pan
note    : text  optional
\`\`\`

\`\`\`workings
total      = left + right + offset
left_share = left / total
level      = if(settled, left_share)
\`\`\`

\`\`\`answers
left_share : in %  within 49 % .. 51 %  -- on the left
total      : in g
\`\`\`
`;

let bench: OpenBench;
beforeAll(async () => {
  const sheet = loadSheet('lean.md', OWN, { formulas: await loadFormulas() });
  bench = await openBench({ house: ({ sheets }) => ({ sheets: new Map([...sheets, ['lean', sheet]]) }) });
});
afterAll(() => bench?.stop());

describe("a club's own sheet", () => {
  it('stands on the first page in a group of its own', async () => {
    const { html } = await bench.get('/');
    const group = html.slice(html.indexOf('The club&#x27;s own'));
    expect(group).toContain('<a href="/sheets/lean">Lean &lt;on&gt; the scales');
    expect(group).toContain('Does it &quot;lean&quot;?');
  });

  it('has a field for each kind of reading, with its unit, its range, and what counts when it stays empty', async () => {
    const { html } = await bench.get('/sheets/lean');
    const hint = (name: string): string => words(new RegExp(`id="r-${name}-hint">([\\s\\S]*?)</p>`).exec(html)![1]!);
    expect(field(html, 'left')!.tag).toContain('inputmode="decimal"');
    expect(hint('left')).toBe('Left <scale> 10 to 10000 g');
    expect(html).toContain('<span class="unit" id="r-left-unit">g</span>');
    // A minus is not on a phone's keyboard of digits.
    expect(field(html, 'offset')!.tag).toContain('inputmode="text"');
    expect(hint('offset')).toBe('What the scale adds −50 to 50 g Left empty: 0 g ± 2 g');
    expect(html).toContain('<span class="unit" id="r-slope-unit">°</span>');
    expect(html).toMatch(/<fieldset[^>]*>\s*<legend>Settled<\/legend>/);
    expect(hint('settled')).toBe('Left empty: yes');
    expect(
      [...html.matchAll(/type="radio"[^>]*name="settled" value="(\w*)"( checked)?/g)].map(([, value, on]) => [value, on !== undefined]),
    ).toEqual([
      ['yes', false],
      ['no', false],
      ['', true],
    ]);
    expect([...html.matchAll(/<option value="(\w*)"[^>]*>([^<]*)/g)].map(([, value, label]) => [value, label])).toEqual([
      ['', 'choose'],
      ['sand', 'sand'],
      ['hard_pan', 'hard pan'],
    ]);
    expect(field(html, 'note')!.tag).toContain('inputmode="text"');
  });

  it('answers, and shows what was said in every kind of field', async () => {
    const asked = { left: '612', right: '605', settled: 'no', surface: 'hard_pan', note: 'left & <right>' };
    const page = await bench.through(await bench.post('/sheets/lean', asked));
    expect(page.status).toBe(200);
    // 612/1217 = 50.288 %
    expect(answersOn(page.html).get('Left share')).toMatch(/^50\.29 % ± /);
    expect(page.html).toMatch(/name="settled" value="no" checked/);
    expect(field(page.html, 'surface')!.value).toBe('hard_pan');
    expect(field(page.html, 'note')!.value).toBe('left & <right>');
    const said = await bench.get('/sheets/lean?left=612&right=605&surface=Hard+Pan&settled=true');
    expect(said.html).toMatch(/name="settled" value="yes" checked/);
    expect(field(said.html, 'surface')!.value).toBe('hard_pan');
  });

  it('brings prose and nothing else: no script, no picture from elsewhere, and its words for sheets lead there', async () => {
    const { html } = await bench.get('/sheets/lean');
    const prose = /<div class="prose">([\s\S]*?)<\/div>/.exec(html)![1]!;
    expect(prose).toContain('<h3>Before you start</h3>');
    expect(prose).toContain('<a href="/sheets/corners"><code>corners</code></a>');
    expect(prose).toContain('<code>left</code>');
    expect(prose).not.toContain('href="/sheets/left"');
    expect(prose).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
    expect(prose).not.toMatch(/<img|<script|href="javascript/);
    expect(prose).toContain('<a href="https://example.com/">good</a>');
  });

  it('folds its workings away, each with its value where it is an answer', async () => {
    const { html } = await bench.get('/sheets/lean?left=612&right=605&surface=sand');
    const folded = /<details class="workings">[\s\S]*?<\/details>/.exec(html)![0];
    expect(words(folded)).toContain('left_share = left / total 50.29 %');
    expect(words(folded)).toContain('level = if(settled, left_share)');
  });
});
