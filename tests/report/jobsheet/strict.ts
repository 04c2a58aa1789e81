/** A reader of markup far stricter than any browser, sharing nothing with the code that writes it. */

/** Elements without content (HTML Living Standard, section 13.1.2), as far as a sheet has any. */
const EMPTY = new Set(['meta', 'img', 'path', 'rect', 'circle']);

export interface Element {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: (Element | string)[];
}

const decode = (text: string): string => {
  const known: Record<string, string> = {
    '&lt;': '<',
    '&gt;': '>',
    '&quot;': '"',
    '&#39;': "'",
    '&amp;': '&',
  };
  return text.replace(/&[^;\s]*;?/g, (entity) => {
    const sign = known[entity];
    if (sign === undefined) throw new Error(`not an entity that is used here: ${entity}`);
    return sign;
  });
};

function attributesOf(text: string, name: string): Map<string, string> {
  const attributes = new Map<string, string>();
  let rest = text;
  while (rest !== '') {
    const found = /^ ([a-zA-Z:-]+)="([^"<>]*)"/.exec(rest);
    if (!found) throw new Error(`<${name}> has no well-formed attribute at: ${rest.slice(0, 60)}`);
    if (attributes.has(found[1]!)) throw new Error(`<${name}> has ${found[1]} twice`);
    attributes.set(found[1]!, decode(found[2]!));
    rest = rest.slice(found[0].length);
  }
  return attributes;
}

/** The tree of a page that begins with a doctype; throws at the first thing that is not strictly formed. */
export function parseStrictly(page: string): Element {
  const root: Element = { name: '', attributes: new Map(), children: [] };
  const open = [root];
  let at = page.startsWith('<!doctype html>') ? '<!doctype html>'.length : 0;
  while (at < page.length) {
    const parent = open[open.length - 1]!;
    if (page[at] !== '<') {
      const next = page.indexOf('<', at);
      const text = page.slice(at, next < 0 ? page.length : next);
      // a style sheet is raw text, and has selectors
      if (parent.name !== 'style' && text.includes('>')) throw new Error(`raw > in ${text.slice(0, 60)}`);
      parent.children.push(parent.name === 'style' ? text : decode(text));
      at += text.length;
      continue;
    }
    const tag = /^<(\/?)([a-zA-Z][a-zA-Z0-9]*)((?: [^<>"]+="[^"]*")*)(\/?)>/.exec(page.slice(at, at + 4e6));
    if (!tag) throw new Error(`not a tag: ${page.slice(at, at + 60)}`);
    const [whole, closes, name, attributes, empty] = tag as unknown as string[];
    at += whole!.length;
    if (closes) {
      if (open.pop()!.name !== name) throw new Error(`</${name}> closes <${parent.name}>`);
      continue;
    }
    const element: Element = { name: name!, attributes: attributesOf(attributes!, name!), children: [] };
    parent.children.push(element);
    if (EMPTY.has(name!) !== (empty === '/')) throw new Error(`<${name}> is wrongly closed`);
    if (!empty) open.push(element);
  }
  if (open.length !== 1) throw new Error(`<${open.pop()!.name}> is not closed`);
  return root;
}

export const textOf = (element: Element): string =>
  element.children.map((child) => (typeof child === 'string' ? child : textOf(child))).join('');

/** Every element below, itself included. */
export const elementsOf = (element: Element): Element[] => [
  element,
  ...element.children.flatMap((child) => (typeof child === 'string' ? [] : elementsOf(child))),
];

export const named = (element: Element, name: string): Element[] =>
  elementsOf(element).filter((one) => one.name === name);
