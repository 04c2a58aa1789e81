/** What a sheet tells of itself. */
export interface Seen {
  readonly texts: { text: string; contrast: number }[];
  readonly images: number[];
  readonly names: string[];
  readonly nameless: number;
  readonly handlers: string[];
  readonly scripts: number;
  readonly words: string;
  readonly heads: readonly [headings: number, language: string, title: string];
  readonly wide: readonly [scrolled: number, seen: number];
  readonly out: string[];
  readonly faults: string[];
}

export function contrasts(): Seen['texts'];
export function look(textsOf: typeof contrasts): void;
