/** What runs within a page that looks at itself: each function stands alone and is written into the page. */

/** Every text that is seen with its contrast, from rendered styles (relative luminance: WCAG 2.2, glossary). */
export function contrasts() {
  const parsed = (colour) => {
    const [r, g, b, a] = (colour.match(/[\d.]+/g) ?? []).map(Number);
    return [r ?? 0, g ?? 0, b ?? 0, colour === 'none' || colour === '' ? 0 : (a ?? 1)];
  };
  const over = ([r, g, b, a], under) => [
    r * a + under[0] * (1 - a),
    g * a + under[1] * (1 - a),
    b * a + under[2] * (1 - a),
    1,
  ];
  const light = (code) =>
    code / 255 <= 0.04045 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4;
  const luminance = ([r, g, b]) => 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
  const ground = (element) =>
    element === null
      ? [255, 255, 255, 1]
      : over(parsed(getComputedStyle(element).backgroundColor), ground(element.parentElement));
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    const text = node.textContent.trim();
    if (text === '' || element.closest('title, desc') || !element.checkVisibility()) continue;
    const style = getComputedStyle(element);
    const behind = ground(element);
    const drawn = element instanceof SVGElement ? style.fill : style.color;
    const front = luminance(over(parsed(drawn), behind));
    const back = luminance(behind);
    const contrast = (Math.max(front, back) + 0.05) / (Math.min(front, back) + 0.05);
    found.push({ text, contrast });
  }
  return found;
}

/** Looks at the page it runs in, once it is loaded, and leaves what it saw at its end. */
export function look(textsOf) {
  const faults = [];
  const log = (...told) => void faults.push(told.join(' '));
  console.error = log;
  console.warn = log;
  window.alert = log;
  document.addEventListener('securitypolicyviolation', (event) =>
    log(event.violatedDirective, event.blockedURI),
  );
  window.addEventListener('error', (event) => log('error', event.message ?? 'not loaded'), true);
  window.addEventListener('load', () => {
    const all = [...document.body.querySelectorAll('*')];
    const nameOf = (element) =>
      element.getAttribute('alt') ??
      element.getAttribute('aria-label') ??
      (element.getAttribute('aria-labelledby') ?? '')
        .split(' ')
        .map((id) => document.getElementById(id)?.textContent ?? '')
        .join(' ');
    const seen = {
      texts: textsOf(),
      images: [...document.images].map((image) => image.naturalWidth),
      names: [...document.querySelectorAll('img, svg[role="img"]')].map(nameOf),
      nameless: document.querySelectorAll('svg:not([role="img"]):not([aria-hidden="true"])').length,
      handlers: all.flatMap((element) => element.getAttributeNames().filter((name) => name.startsWith('on'))),
      scripts: document.scripts.length - 1,
      words: document.body.textContent ?? '',
      heads: [document.querySelectorAll('h1').length, document.documentElement.lang, document.title],
      wide: [document.documentElement.scrollWidth, document.documentElement.clientWidth],
      out: all
        .filter((element) => element.getBoundingClientRect().right > window.innerWidth + 0.5)
        .map((element) => element.outerHTML.slice(0, 120)),
      faults,
    };
    const bytes = new TextEncoder().encode(JSON.stringify(seen));
    const told = window.parent.document.createElement('pre');
    told.textContent = btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''));
    window.parent.document.body.append(told);
  });
}
