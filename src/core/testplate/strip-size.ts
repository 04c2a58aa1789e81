/** Kept bare along the plate's edge, for saw, bevel and guillotine. */
export const EDGE_MM = 3;

/** Discs in the corners, by which a print is found in a scan. */
export const DISC_MM = 4;

/** The control strip: 25 × 5 mm, the same on the test plate and in the waste of every later plate. */
export const STRIP_MM = { widthMm: 25, heightMm: 5 } as const;

/** Bare between the strip and the picture, and between it and the corner marks. */
const CLEAR_MM = 1;

/** Narrowest border of a plate (mm) that a control strip has room in; one that takes the labels too is a little wider. */
export const STRIP_BORDER_MM = EDGE_MM + STRIP_MM.heightMm + CLEAR_MM;

/** Narrowest plate (mm) that has room for the strip between two of its corner marks. */
export const STRIP_PLATE_MM = STRIP_MM.widthMm + 2 * (EDGE_MM + DISC_MM + CLEAR_MM);
