import { fiducialsOf } from './furniture.ts';
import { layoutId, type TestPlateLayout, type UnnamedLayout } from './layout.ts';
import { LINE_MM, tidy } from './parts.ts';
import { EDGE_MM, STRIP_BORDER_MM, STRIP_MM, STRIP_PLATE_MM } from './strip-size.ts';
import { stripLabels, stripPatches } from './tones.ts';

/** The plate that a strip is for. */
export interface StripWish
  extends Pick<UnnamedLayout, 'process' | 'widthMm' | 'heightMm' | 'dpi' | 'spotMm' | 'beam' | 'screen'> {
  readonly borderMm: number;
  /** Ink tone of the last patch, 0…1: the darkest of this plate. */
  readonly capShare: number;
}

/**
 * The control strip in the waste of any plate: at the middle of the foot of its border, upright, print-reading,
 * with its tones below where there is room, and in the corners the marks of a test plate, by which it is found in a scan. Null where the border is narrower than `STRIP_BORDER_MM` or the plate
 * narrower than the strip and its edges.
 */
export function stripLayout(wish: StripWish): TestPlateLayout | null {
  const { widthMm, heightMm, dpi, spotMm, beam, screen, borderMm, capShare } = wish;
  if (borderMm < STRIP_BORDER_MM || widthMm < STRIP_PLATE_MM) return null;
  if (heightMm < 2 * borderMm) return null;
  const hasLabels = borderMm >= STRIP_BORDER_MM + LINE_MM;
  const xMm = tidy((widthMm - STRIP_MM.widthMm) / 2);
  const yMm = tidy(heightMm - EDGE_MM - STRIP_MM.heightMm - (hasLabels ? LINE_MM : 0));
  const patches = stripPatches(capShare).map((patch) => ({ ...patch, xMm: tidy(patch.xMm + xMm), yMm }));
  const layout: UnnamedLayout = {
    schema: 'etchwright/testplate',
    version: 1,
    process: wish.process,
    widthMm,
    heightMm,
    dpi,
    spotMm,
    beam,
    screen,
    fiducials: fiducialsOf(widthMm, heightMm),
    patches,
    features: [],
    rulers: [],
    stars: [],
    type: [],
    strip: { xMm, yMm, ...STRIP_MM },
    ladder: [],
    paperZones: [],
    grounds: [],
    labels: hasLabels ? stripLabels(patches) : [],
    leftOut: [],
  };
  return { ...layout, id: layoutId(layout) };
}
