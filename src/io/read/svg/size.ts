import type { SvgRoot } from './text.ts';

/** The size of a drawing in CSS px, 96 an inch. */
export interface SvgSize {
  readonly widthPx: number;
  readonly heightPx: number;
  /** False where only the proportions are stated, by a view box. */
  readonly absolute: boolean;
  /** Set on the root so that the whole drawing fills whatever size it is drawn at. */
  readonly fitting: Readonly<Record<string, string>>;
}

// CSS Values and Units Level 4, 6.2: absolute lengths in CSS px; a number without unit is in px (SVG 2, 4.2).
const pxPerUnit: Readonly<Record<string, number>> = {
  '': 1,
  px: 1,
  in: 96,
  cm: 96 / 2.54,
  mm: 96 / 25.4,
  q: 96 / 101.6,
  pt: 96 / 72,
  pc: 16,
};

const number = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
const lengthPattern = new RegExp(`^\\s*(${number})\\s*([a-zA-Z%]*)\\s*$`);

/** A length in CSS px; null for none and for those that depend on something else (%, em …). */
export function cssPx(length: string | undefined): number | null {
  const [, value, unit] = lengthPattern.exec(length ?? '') ?? [];
  const scale = unit === undefined ? undefined : pxPerUnit[unit.toLowerCase()];
  const px = Number(value) * (scale ?? Number.NaN);
  return Number.isFinite(px) && px > 0 ? px : null;
}

/** The size an SVG root states; null where it states neither a size nor a view box. */
export function svgSize({ attributes }: SvgRoot): SvgSize | null {
  const style = attributes.get('style') ?? '';
  const styled = (name: string) => new RegExp(`(?:^|;)\\s*${name}\\s*:\\s*([^;!]+)`).exec(style)?.[1];
  const width = cssPx(styled('width') ?? attributes.get('width'));
  const height = cssPx(styled('height') ?? attributes.get('height'));
  const box = viewBoxOf(attributes.get('viewBox'));
  const aspect = box && box.width / box.height;
  const widthPx = width ?? (height !== null && aspect ? height * aspect : (box?.width ?? null));
  const heightPx = height ?? (width !== null && aspect ? width / aspect : (box?.height ?? null));
  if (widthPx === null || heightPx === null || (width === null && height === null && !box)) return null;
  // Rounding to whole pixels must leave no sliver of paper at an edge, so equal proportions are stretched to fit.
  const same = aspect === null || Math.abs(widthPx / heightPx / aspect - 1) < 0.002;
  return {
    widthPx,
    heightPx,
    absolute: width !== null || height !== null,
    fitting: {
      ...(box ? {} : { viewBox: `0 0 ${widthPx} ${heightPx}` }),
      ...(same ? { preserveAspectRatio: 'none' } : {}),
    },
  };
}

function viewBoxOf(text: string | undefined): { width: number; height: number } | null {
  const numbers = (text ?? '')
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  const [, , width, height] = numbers;
  if (numbers.length !== 4 || !numbers.every(Number.isFinite) || !(width! > 0) || !(height! > 0)) return null;
  return { width: width!, height: height! };
}
