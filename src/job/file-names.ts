/** Names for files that every system takes, made from whatever people call their pictures. */

/** With the endings of our files, and the marks of a file in the making, well under the 143 bytes that encrypted folders leave. */
const MOST_BYTES = 80;

/** Names people gave stay as long as any disk takes them, with our endings and the marks of a file in the making. */
const MOST_BYTES_KEPT = 160;

const FALLBACK = 'plate';

/** Names that Windows keeps for devices, whatever ending follows (learn.microsoft.com, "Naming Files, Paths, and Namespaces"). */
const RESERVED = /^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\.|$)/i;

const utf8 = new TextEncoder();

/** The longest beginning that takes no more bytes; no sign is cut, nor its accents from a letter. */
function shortened(text: string, mostBytes: number): string {
  if (utf8.encode(text).length <= mostBytes) return text;
  let kept = '';
  let bytes = 0;
  // made here, for few names are that long: it takes 18 ms
  for (const { segment } of new Intl.Segmenter('en').segment(text)) {
    bytes += utf8.encode(segment).length;
    if (bytes > mostBytes) break;
    kept += segment;
  }
  return kept;
}

/** Dots and dashes at the ends are hidden files, options, or lost on Windows. */
const bare = (text: string): string => text.replace(/^[-._]+|[-._]+$/g, '');

/**
 * A name as the stem of a file name: letters and digits of any script, `-`, `_` and `.` stay; all else becomes a dash. Never
 * empty, never longer than 80 bytes, never hidden, never a device.
 */
export function safeName(name: string): string {
  const plain = bare(name.normalize('NFC').replace(/[^\p{L}\p{M}\p{N}._-]+/gu, '-')).replace(/-{2,}/g, '-');
  const short = bare(shortened(plain, MOST_BYTES));
  // a mark without its letter would fall on the dot before it
  const sound = short.replace(/^\p{M}+/u, '') || FALLBACK;
  return RESERVED.test(sound) ? `${FALLBACK}-${sound}` : sound;
}

/**
 * The name of a picture as a stem of file names that any disk takes: spaces and signs stay, but for those that Windows forbids, and for
 * control characters and marks that turn the reading round, all of which become dashes. Never hidden, an option or a device; at most
 * 160 bytes. Empty where nothing is left.
 */
export function soundName(name: string): string {
  const plain = name
    .replace(/[\p{Cc}\p{Cs}\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069<>:"|?*/\\]+/gu, '-')
    .replace(/^[-. ]+|[. ]+$/g, '');
  const short = shortened(plain, MOST_BYTES_KEPT).replace(/[. ]+$/, '');
  return RESERVED.test(short) ? `${FALLBACK}-${short}` : short;
}

/** Disks that do not tell capitals from small letters take these for one. */
const folded = (name: string): string => name.normalize('NFKC').toLowerCase();

/**
 * A stem for each name, in order, all different on every disk. The first of a name has it; the next get -2, -3 … , never one
 * that another name has, so that a list gives the same stems whoever makes which part of it.
 */
export function distinctNames(names: readonly string[]): string[] {
  const safe = names.map(safeName);
  const taken = new Set(safe.map(folded));
  const met = new Set<string>();
  const last = new Map<string, number>();
  return safe.map((name) => {
    const key = folded(name);
    if (!met.has(key)) {
      met.add(key);
      return name;
    }
    let count = last.get(key) ?? 1;
    let next: string;
    do next = `${bare(shortened(name, MOST_BYTES - 8))}-${++count}`;
    while (taken.has(folded(next)));
    last.set(key, count);
    taken.add(folded(next));
    return next;
  });
}
