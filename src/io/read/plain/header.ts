import type { PictureHeader } from '../reader.ts';

/** The header of a picture without orientation, profile or pages. */
export const plainHeader = (
  known: Pick<PictureHeader, 'widthPx' | 'heightPx' | 'alpha' | 'depthBits'> &
    Partial<Pick<PictureHeader, 'ppi' | 'cautions'>>,
): PictureHeader => ({
  ppi: null,
  orientation: 1,
  profile: null,
  frames: 1,
  frame: 1,
  blackCode: 0,
  whiteCode: 2 ** known.depthBits - 1,
  drawing: false,
  cautions: [],
  ...known,
});
