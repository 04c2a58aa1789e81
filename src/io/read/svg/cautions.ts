import type { PictureCaution } from '../facts.ts';

/** What of a drawing may come out otherwise than its author saw it. */
export function svgCautions(text: string): PictureCaution[] {
  const marks = withoutComments(text);
  const cautions: PictureCaution[] = [];
  if (/<(?:[\w.-]+:)?(?:text|textPath|tspan)[\s/>]/.test(marks)) cautions.push(lettering);
  if (/<(?:[\w.-]+:)?foreignObject[\s/>]/.test(marks)) cautions.push(foreign);
  const links = outsideLinks(marks);
  if (links.length > 0) cautions.push(unresolved(links));
  return cautions;
}

function withoutComments(text: string): string {
  let kept = '';
  for (let at = 0; ; ) {
    const start = text.indexOf('<!--', at);
    const end = start < 0 ? -1 : text.indexOf('-->', start);
    if (end < 0) return kept + text.slice(at);
    kept += text.slice(at, start);
    at = end + 3;
  }
}

const lettering: PictureCaution = {
  code: 'svg-text',
  severity: 'warn',
  text: 'The drawing holds text: its letters depend on the fonts installed here, and may change or vanish.',
  cure: 'Turn text into outlines (paths) in the drawing program.',
};

const foreign: PictureCaution = {
  code: 'svg-foreign',
  severity: 'warn',
  text: 'The drawing holds parts that are not SVG (foreignObject); they are left out.',
  cure: 'Turn them into paths or pictures in the drawing program.',
};

const unresolved = (links: readonly string[]): PictureCaution => ({
  code: 'svg-link',
  severity: 'warn',
  text: `The drawing points outside itself (${shown(links)}); nothing is read from there, so that part is missing.`,
  cure: 'Embed linked pictures and styles in the drawing program, then export again.',
  value: links.length,
});

const mostShown = 3;
const shortened = (link: string) => (link.length > 80 ? `${link.slice(0, 77)}…` : link);
const shown = (links: readonly string[]): string =>
  links
    .slice(0, mostShown)
    .map((link) => `"${shortened(link)}"`)
    .join(', ') + (links.length > mostShown ? `, and ${links.length - mostShown} more` : '');

/** Everything that names something outside the file: href of pictures and uses, url() and @import of styles. */
function outsideLinks(text: string): string[] {
  const found = new Set<string>();
  const add = (link: string | undefined) => {
    const target = (link ?? '').trim().replaceAll('&amp;', '&');
    if (target !== '' && !target.startsWith('#') && !/^data:/i.test(target)) found.add(target);
  };
  // The href of an `a` is a link to follow, not a part of the drawing.
  for (const [, element, attributes] of text.matchAll(
    /<([\w.:-]+)((?:\s+[^\s=/>]+\s*=\s*(?:"[^"]*"|'[^']*')){0,200})/g,
  )) {
    if (/^(?:[\w.-]+:)?a$/.test(element!)) continue;
    for (const [, double, single] of attributes!.matchAll(/\s(?:\w+:)?href\s*=\s*(?:"([^"]*)"|'([^']*)')/g)) {
      add(double ?? single);
    }
  }
  for (const [, link] of text.matchAll(/url\(\s{0,9}["']?([^"'()]{0,2000})["']?\s{0,9}\)/g)) add(link);
  for (const [, link] of text.matchAll(/@import\s{1,9}["']([^"']{0,2000})["']/g)) add(link);
  for (const [, link] of text.matchAll(
    /<\?xml-stylesheet[^<>]{0,2000}href\s{0,9}=\s{0,9}["']([^"']{0,2000})["']/g,
  ))
    add(link);
  return [...found];
}
