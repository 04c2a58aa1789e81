/**
 * What we use of maxrects-packer 2.7. Node finds its main entry empty (a script of the old kind in a package of modules), and
 * its own types name no extensions, so that they come out as any.
 */
declare module 'maxrects-packer/dist/maxrects-packer.mjs' {
  export const PACKING_LOGIC: { readonly MAX_AREA: 0; readonly MAX_EDGE: 1 };

  interface Rect {
    readonly width: number;
    readonly height: number;
    /** Written by the packer. */
    x: number;
    y: number;
    rot: boolean;
  }

  export class MaxRectsPacker<R extends Rect> {
    /** `padding` is kept between rectangles, not around them. */
    constructor(
      width: number,
      height: number,
      padding: number,
      options: {
        readonly smart: boolean;
        readonly pot: boolean;
        readonly square: boolean;
        readonly allowRotation: boolean;
        readonly logic: 0 | 1;
      },
    );
    addArray(rects: R[]): void;
    readonly bins: readonly { readonly rects: readonly R[] }[];
  }
}
