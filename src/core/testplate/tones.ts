import type { TestPatch } from './layout.ts';
import { type Block, LINE_MM, labelOn, noParts, type Parts, type Shape, tidy } from './parts.ts';
import { STRIP_MM } from './strip-size.ts';

/** 0 to 100 % by 5, as on any step wedge. */
const STEPS = Array.from({ length: 21 }, (_, i) => i / 20);

/**
 * The wedge's steps out of order: i → 8 i mod 21 is every step once (8 and 21 share no factor), neighbours 40 % or
 * more apart, so that a gradient of wiping or pressure along the plate cannot pass for a curve.
 */
const SCRAMBLED = STEPS.map((_, i) => STEPS[(8 * i + 3) % STEPS.length]!);

/** Side of a patch: of its inner 60 % a scan of 600 ppi gives 7,000 pixels. */
export const PATCH_MM = 6;
const SOLID_MM = 10;
const SOLIDS = [0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1];

type Zone = TestPatch['zone'];

/** A tone to be drawn, 0 … 1, and what stands below it; `screen` is null for that of the plate. */
export interface Tint {
  readonly share: number;
  readonly label: string;
  readonly screen: TestPatch['screen'];
}

/** A share, 0 … 1, in whole per cent. */
export const percent = (share: number): string => String(Math.round(share * 100));
const tint = (share: number): Tint => ({ share, label: percent(share), screen: null });

/** Tints side by side in lines of `columns`, a label under each; the first one's begins with the zone's letter. */
export function row(
  zone: Zone,
  letter: string,
  tints: readonly Tint[],
  sideMm: number,
  columns: number,
  gapMm: number,
): Shape {
  const parts = noParts();
  const pitchX = sideMm + gapMm;
  const pitchY = sideMm + LINE_MM;
  for (const [i, { share, label, screen }] of tints.entries()) {
    const xMm = tidy((i % columns) * pitchX);
    const yMm = tidy(Math.floor(i / columns) * pitchY);
    const size = { widthMm: sideMm, heightMm: sideMm };
    parts.patches.push({ id: `${zone}-${i + 1}`, zone, share, xMm, yMm, ...size, label, screen });
    parts.labels.push(labelOn(i === 0 ? `${letter} ${label}`.trim() : label, xMm + sideMm / 2, yMm + sideMm));
  }
  const across = Math.min(columns, tints.length);
  return {
    widthMm: tidy(across * pitchX - gapMm),
    heightMm: tidy(Math.ceil(tints.length / columns) * pitchY),
    parts,
  };
}

/** Zone A: the wedge in order. */
export const wedgeBlock = (): Block => ({
  name: 'A',
  shapes: [21, 11, 7, 6, 5, 4].map((columns) => row('wedge', 'A', STEPS.map(tint), PATCH_MM, columns, 0)),
});

/** Zone B: the same steps out of order, for the other end of the plate. */
export const scrambledBlock = (): Block => ({
  name: 'B',
  shapes: [21, 11, 7, 6, 5, 4].map((columns) =>
    row('wedge-scrambled', 'B', SCRAMBLED.map(tint), PATCH_MM, columns, 0),
  ),
});

/** Zone C: large patches where tones close up. */
export const solidsBlock = (): Block => ({
  name: 'C',
  shapes: [7, 4, 3, 2].map((columns) => row('solids', 'C', SOLIDS.map(tint), SOLID_MM, columns, 0)),
});

/** The strip's five patches about its upper left corner; its last is as dark as the plate gets. */
export function stripPatches(capShare: number): TestPatch[] {
  const sideMm = STRIP_MM.heightMm;
  return [0, 0.25, 0.5, 0.75, capShare].map((share, i) => ({
    id: `strip-${i + 1}`,
    zone: 'strip',
    share,
    xMm: i * sideMm,
    yMm: 0,
    widthMm: sideMm,
    heightMm: sideMm,
    label: percent(share),
    screen: null,
  }));
}

/** Zone M: the control strip. */
export function stripBlock(capShare: number): Block {
  const parts = noParts();
  parts.strip = { xMm: 0, yMm: 0, ...STRIP_MM };
  parts.patches.push(...stripPatches(capShare));
  parts.labels.push(...stripLabels(parts.patches, 'M '));
  return {
    name: 'M',
    shapes: [{ widthMm: STRIP_MM.widthMm, heightMm: STRIP_MM.heightMm + LINE_MM, parts }],
  };
}

/** The tones of a strip, a label under each patch; `before` stands before the first. */
export const stripLabels = (patches: readonly TestPatch[], before = ''): Parts['labels'] =>
  patches.map(({ label, xMm, yMm, widthMm, heightMm }, i) =>
    labelOn(i === 0 ? before + label : label, xMm + widthMm / 2, yMm + heightMm),
  );
