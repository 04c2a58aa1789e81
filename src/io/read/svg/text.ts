/** The start tag of an SVG text's outermost element and where it lies. */
export interface SvgRoot {
  readonly tag: string;
  readonly start: number;
  readonly end: number;
  readonly attributes: ReadonlyMap<string, string>;
}

// The start tag of a drawing holds its size and the namespaces of its programs: some hundred characters.
const mostTagChars = 100_000;
// Bounded, so that a hostile tag costs no more than its length.
const attributePattern = /([^\s=/<>]{1,200})\s*=\s*(?:"([^"]*)"|'([^']*)')/g;

/** The bytes as text: by byte-order mark, else by the encoding the XML declaration names, else UTF-8 (XML 1.0, 4.3.3). */
export function xmlText(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (first === 0xfe && second === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  const start = new TextDecoder('latin1').decode(bytes.subarray(0, 200));
  const named =
    /^(?:\xef\xbb\xbf)?\s*<\?xml[^>]*?encoding\s*=\s*["']([\w.:-]+)["']/.exec(start)?.[1] ?? 'utf-8';
  try {
    return new TextDecoder(named).decode(bytes);
  } catch {
    return new TextDecoder('utf-8').decode(bytes);
  }
}

/** Finds the outermost element; null where it is not `svg` or the text ends inside its tag. */
export function svgRoot(text: string): SvgRoot | null {
  let at = 0;
  for (;;) {
    at = text.indexOf('<', at);
    if (at < 0) return null;
    const after = skipped(text, at);
    if (after === at) break;
    at = after;
  }
  const end = tagEnd(text, at);
  if (end < 0) return null;
  const tag = text.slice(at, end);
  if (!/^<(?:[\w.-]+:)?svg[\s/>]/.test(tag)) return null;
  const attributes = new Map<string, string>();
  for (const [, name, double, single] of tag.matchAll(attributePattern)) {
    attributes.set(name!, double ?? single ?? '');
  }
  return { tag, start: at, end, attributes };
}

/** The place after a comment, instruction or document type at `at`; `at` itself before an element. */
function skipped(text: string, at: number): number {
  const behind = (mark: string) => {
    const found = text.indexOf(mark, at);
    return found < 0 ? text.length : found + mark.length;
  };
  if (text.startsWith('<!--', at)) return behind('-->');
  if (text.startsWith('<?', at)) return behind('?>');
  if (!text.startsWith('<!', at)) return at;
  // A document type may hold declarations of its own between brackets.
  const bracket = text.indexOf('[', at);
  const plain = text.indexOf('>', at);
  return bracket >= 0 && bracket < plain ? afterBrackets(text, bracket) : behind('>');
}

function afterBrackets(text: string, bracket: number): number {
  const inner = text.indexOf(']', bracket);
  const end = inner < 0 ? -1 : text.indexOf('>', inner);
  return end < 0 ? text.length : end + 1;
}

/** The place after the `>` that ends a tag, not minding those inside quotes; −1 where there is none. */
function tagEnd(text: string, start: number): number {
  let quote = '';
  const end = Math.min(text.length, start + mostTagChars);
  for (let at = start; at < end; at++) {
    const char = text[at]!;
    if (quote !== '') {
      if (char === quote) quote = '';
    } else if (char === '"' || char === "'") quote = char;
    else if (char === '>') return at + 1;
  }
  return -1;
}

/** The text with the root's attributes set to new values and without an XML declaration, which may name another encoding. */
export function withRoot(text: string, root: SvgRoot, changed: Readonly<Record<string, string>>): string {
  const all = new Map(root.attributes);
  for (const [name, value] of Object.entries(changed)) all.set(name, value);
  const name = /^<[^\s/>]+/.exec(root.tag)![0];
  const written = [...all].map(([key, value]) => ` ${key}="${value.replaceAll('"', '&quot;')}"`).join('');
  const close = root.tag.endsWith('/>') ? '/>' : '>';
  const before = text.slice(0, root.start).replace(/^\uFEFF?\s*<\?xml[^>]*\?>/, '');
  return before + name + written + close + text.slice(root.end);
}
