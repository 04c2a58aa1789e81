const METRES_PER_INCH = 0.0254;

/** Whole pixels a metre, as PNG and BMP store the resolution. */
export const pixelsPerMetre = (dpi: number): number => Math.round(dpi / METRES_PER_INCH);

export const dpiOfPerMetre = (perMetre: number): number => perMetre * METRES_PER_INCH;
