/** One TIFF tag: type 1 byte, 2 text, 3 short, 4 long, 5 rational (two longs a value), 7 bytes (TIFF 6.0, section 2). */
export interface Tag {
  readonly tag: number;
  readonly type: 1 | 2 | 3 | 4 | 5 | 7;
  readonly values: readonly number[];
}

export interface Page {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: readonly number[];
  /** TIFF 6.0, tag 262: 0 white is zero, 1 black is zero, 2 RGB, 3 palette, 5 separated (CMYK). */
  readonly photometric: number;
  readonly data: Uint8Array;
  readonly tags?: readonly Tag[];
}

const sizeOf = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1 } as const;

/** Uncompressed little-endian TIFF, one strip a page, the directories before the pixels. */
export function tiffOf(...pages: readonly Page[]): Uint8Array<ArrayBuffer> {
  const parts: Uint8Array[] = [];
  let end = 8;
  const place = (bytes: Uint8Array): number => {
    const at = end;
    const padded = new Uint8Array(bytes.length + (bytes.length & 1));
    padded.set(bytes);
    parts.push(padded);
    end += padded.length;
    return at;
  };
  const directories = pages.map((page) => tagsOf(page));
  const starts: number[] = [];
  let start = 8;
  for (const tags of directories) {
    starts.push(start);
    start += 2 + tags.length * 12 + 4;
  }
  end = start;
  const written = directories.map((tags, index) => {
    const view = new DataView(new ArrayBuffer(2 + tags.length * 12 + 4));
    view.setUint16(0, tags.length, true);
    for (const [entry, { tag, type, values }] of tags.entries()) {
      const at = 2 + entry * 12;
      const bytes = bytesOf(type, tag === 273 ? [place(pages[index]!.data)] : values);
      view.setUint16(at, tag, true);
      view.setUint16(at + 2, type, true);
      view.setUint32(at + 4, type === 5 ? values.length / 2 : values.length, true);
      if (bytes.length <= 4) new Uint8Array(view.buffer).set(bytes, at + 8);
      else view.setUint32(at + 8, place(bytes), true);
    }
    view.setUint32(2 + tags.length * 12, starts[index + 1] ?? 0, true);
    return new Uint8Array(view.buffer);
  });
  const header = new Uint8Array([0x49, 0x49, 42, 0, 8, 0, 0, 0]);
  const all = [header, ...written, ...parts];
  const file = new Uint8Array(all.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of all) {
    file.set(part, at);
    at += part.length;
  }
  return file;
}

function tagsOf({ widthPx, heightPx, bits, photometric, data, tags = [] }: Page): Tag[] {
  const own: Tag[] = [
    { tag: 256, type: 4, values: [widthPx] },
    { tag: 257, type: 4, values: [heightPx] },
    { tag: 258, type: 3, values: bits },
    { tag: 259, type: 3, values: [1] },
    { tag: 262, type: 3, values: [photometric] },
    { tag: 273, type: 4, values: [0] },
    { tag: 277, type: 3, values: [bits.length] },
    { tag: 278, type: 4, values: [heightPx] },
    { tag: 279, type: 4, values: [data.length] },
  ];
  return [...own, ...tags].sort((a, b) => a.tag - b.tag);
}

function bytesOf(type: Tag['type'], values: readonly number[]): Uint8Array {
  const size = type === 5 ? 4 : sizeOf[type];
  const view = new DataView(new ArrayBuffer(values.length * size));
  for (const [index, value] of values.entries()) {
    if (size === 1) view.setUint8(index, value);
    else if (size === 2) view.setUint16(index * 2, value, true);
    else view.setUint32(index * 4, value, true);
  }
  return new Uint8Array(view.buffer);
}
