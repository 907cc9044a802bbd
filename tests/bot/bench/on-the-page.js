// Runs in the browser, on the page that is measured (browser.test.ts sends it as text). Plain values come back.
({
  unfold() {
    for (const one of document.querySelectorAll('details')) one.open = true;
  },

  /** How wide the page is, and whatever sticks out of the window, unless it stands in a part that scrolls by itself. */
  sideways() {
    return {
      page: document.documentElement.scrollWidth,
      out: [...document.body.querySelectorAll('*')]
        .filter((one) => !one.closest('.scroll, .for-ears') && one.getBoundingClientRect().right > window.innerWidth + 0.5)
        .map((one) => `${one.tagName} ${one.className} ${one.textContent.trim().slice(0, 40)}`),
    };
  },

  /** What is pressed and is smaller than 44 px. A link inside a sentence is as high as its line (WCAG 2.2, 2.5.8, inline). */
  small() {
    return [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
      .filter((one) => getComputedStyle(one).display !== 'inline' && !one.matches('.skip'))
      .map((one) => ({ one, box: one.getBoundingClientRect() }))
      .filter(({ box }) => box.height < 44 || box.width < 44)
      .map(({ one, box }) => `${one.tagName} "${one.textContent.trim().slice(0, 30)}" ${box.width} × ${box.height}`);
  },

  /** What names and describes what. */
  names() {
    const pointed = ['aria-describedby', 'aria-labelledby', 'list'];
    const ids = [...document.querySelectorAll('[id]')].map(({ id }) => id);
    return {
      unlabelled: [...document.querySelectorAll('input:not([type=hidden]), select, textarea')]
        .filter((one) => one.labels.length !== 1)
        .map(({ name }) => name),
      noKeyboard: [...document.querySelectorAll('input:not([type=hidden]):not([type=radio]):not([type=file]), textarea')]
        .filter((one) => !one.getAttribute('inputmode'))
        .map(({ id }) => id),
      dangling: [...document.querySelectorAll('[aria-describedby], [aria-labelledby], [list]')]
        .flatMap((one) => pointed.flatMap((name) => one.getAttribute(name)?.split(' ') ?? []))
        .filter((id) => !ids.includes(id)),
      twice: ids.filter((id, i) => ids.indexOf(id) !== i),
      headings: [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map(({ tagName }) => Number(tagName[1])),
      wordless: [...document.querySelectorAll('img')].filter(({ alt }) => alt.length < 40).length,
    };
  },

  /**
   * Texts whose colour stands against the ground behind it by less than 4.5 : 1 (WCAG 2.2, relative luminance and 1.4.3), and fields whose
   * edge does by less than 3 : 1 (1.4.11).
   */
  contrast() {
    const parse = (text) => {
      const [r = 0, g = 0, b = 0, a = 1] = (text.match(/[\d.]+/g) ?? []).map(Number);
      return [r, g, b, a];
    };
    const over = (top, under) => [...[0, 1, 2].map((i) => top[i] * top[3] + under[i] * (1 - top[3])), 1];
    const ground = (one) => {
      if (!one) return [255, 255, 255, 1];
      const own = parse(getComputedStyle(one).backgroundColor);
      return own[3] === 1 ? own : over(own, ground(one.parentElement));
    };
    const luminance = (colour) => {
      const [r, g, b] = colour.slice(0, 3).map((channel) => {
        const c = channel / 255;
        return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const ratio = (a, b) => {
      const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
      return (high + 0.05) / (low + 0.05);
    };
    const faint = [];
    let read = 0;
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const one = node.parentElement;
      if (!node.textContent.trim() || one.closest('datalist, option') || !one.checkVisibility()) continue;
      const behind = ground(one);
      const value = ratio(over(parse(getComputedStyle(one).color), behind), behind);
      read += 1;
      if (value < 4.5) faint.push(`${value.toFixed(2)} "${node.textContent.trim().slice(0, 40)}"`);
    }
    for (const one of document.querySelectorAll('input:not([type=hidden]):not([type=radio]), select, textarea')) {
      const style = getComputedStyle(one);
      const edge = ratio(parse(style.borderTopColor), ground(one.parentElement));
      const text = ratio(parse(style.color), ground(one));
      if (edge < 3 || text < 4.5) faint.push(`field ${one.id}: edge ${edge.toFixed(2)}, text ${text.toFixed(2)}`);
    }
    return { faint, read };
  },

  /** Numbers what the tab key should stop at, in the order of the page; the radio buttons of one group are one stop. */
  stops() {
    const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex="0"]')];
    const kept = all.filter((one) => one.type !== 'radio' || one.checked);
    for (const [i, one] of kept.entries()) one.dataset.stop = String(i);
    return kept.length;
  },
  /** Where the tab key stands: its number, whether a ring is drawn around it, whether it is in sight. */
  stop() {
    const one = document.activeElement;
    const drawn = one.type === 'radio' ? one.nextElementSibling : one;
    const { outlineStyle, outlineWidth } = getComputedStyle(drawn);
    const box = drawn.getBoundingClientRect();
    const inSight = box.bottom > 0 && box.top < window.innerHeight && box.right > 0 && box.left < window.innerWidth;
    return { stop: one.dataset.stop, ring: outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2, inSight };
  },

  /** Every picture, looked at: those far down are fetched when they come into sight. One that does not come has no width. */
  async pictures() {
    const scheme = matchMedia('(prefers-color-scheme: light)').matches ? 'light' : 'dark';
    for (const one of document.images) {
      one.scrollIntoView();
      const until = Date.now() + 5000;
      const there = () => one.complete && one.naturalWidth > 0 && one.currentSrc.includes(`.${scheme}.`);
      while (!there() && Date.now() < until) await new Promise((later) => setTimeout(later, 20));
    }
    window.scrollTo(0, 0);
    return [...document.images].map((one) => ({ from: one.currentSrc, width: one.naturalWidth, height: one.naturalHeight }));
  },

  focused() {
    const one = document.activeElement;
    return { id: one.id, text: one.textContent, inMain: one.closest('main') !== null };
  },
  curveFits() {
    const one = document.querySelector('.scroll');
    return one.scrollWidth <= one.clientWidth;
  },
});
