/** What the tests use of utif, which has no types of its own. */
declare module 'utif' {
  interface Page {
    width: number;
    height: number;
    /** Packed bits as stored, after decodeImage. */
    data: Uint8Array;
    readonly [tag: `t${number}`]: readonly number[];
  }
  export function decode(file: ArrayBuffer): Page[];
  export function decodeImage(file: ArrayBuffer, page: Page): void;
  export function toRGBA8(page: Page): Uint8Array;
}
