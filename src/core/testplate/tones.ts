import type { ProcessKind } from '../processes/index.ts';
import { processes } from '../processes/index.ts';
import type { TestPatch } from './layout.ts';
import { type Block, headed, LINE_MM, labelBefore, labelOn, noParts, type Shape, tidy } from './parts.ts';

/** 0 to 100 % by 5, as on any step wedge. */
const STEPS = Array.from({ length: 21 }, (_, i) => i / 20);

/**
 * The wedge's steps out of order: i → 8 i mod 21 is every step once (8 and 21 share no factor), neighbours 40 % or
 * more apart, so that a gradient of wiping or pressure along the plate cannot pass for a curve.
 */
const SCRAMBLED = STEPS.map((_, i) => STEPS[(8 * i + 3) % STEPS.length]!);

const PATCH_MM = 6;
const SOLID_MM = 10;
const SOLIDS = [0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1];
const LABEL_COLUMN_MM = 4.2;

type Zone = TestPatch['zone'];

interface Tint {
  readonly share: number;
  readonly label: string;
  readonly screen: TestPatch['screen'];
}

const percent = (share: number): string => String(Math.round(share * 100));
const tint = (share: number): Tint => ({ share, label: percent(share), screen: null });

/** Tints side by side in lines of `columns`, a label under each. */
function row(zone: Zone, tints: readonly Tint[], sideMm: number, columns: number, gapMm: number): Shape {
  const parts = noParts();
  const pitchX = sideMm + gapMm;
  const pitchY = sideMm + LINE_MM;
  for (const [i, { share, label, screen }] of tints.entries()) {
    const xMm = tidy((i % columns) * pitchX);
    const yMm = tidy(Math.floor(i / columns) * pitchY);
    const size = { widthMm: sideMm, heightMm: sideMm };
    parts.patches.push({ id: `${zone}-${i + 1}`, zone, share, xMm, yMm, ...size, label, screen });
    parts.labels.push(labelOn(label, xMm + sideMm / 2, yMm + sideMm));
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
  shapes: [21, 11, 7, 6, 5, 4].map((columns) =>
    headed('A wedge %', row('wedge', STEPS.map(tint), PATCH_MM, columns, 0)),
  ),
});

/** Zone B: the same steps out of order, for the other end of the plate. */
export const scrambledBlock = (): Block => ({
  name: 'B',
  shapes: [21, 11, 7, 6, 5, 4].map((columns) =>
    headed('B scrambled %', row('wedge-scrambled', SCRAMBLED.map(tint), PATCH_MM, columns, 0)),
  ),
});

/** Zone C: large patches where tones close up. */
export const solidsBlock = (): Block => ({
  name: 'C',
  shapes: [7, 4, 3, 2].map((columns) =>
    headed('C solids %', row('solids', SOLIDS.map(tint), SOLID_MM, columns, 0)),
  ),
});

/** Ruling samples, 45°, at half tone: the coarsest a person still calls a screen to the finest a press room tries. */
export const RULINGS_LPI = [25, 35, 45, 55, 65, 75, 85];
export const GRAINS_MM = [0.1, 0.2, 0.3, 0.5];
const GRAIN_SHARES = [0.3, 0.5, 0.7];

/** Zone H: clustered dots by ruling. */
export function rulingBlock(kind: string, rulingsLpi: readonly number[]): Block {
  const tints = rulingsLpi.map(
    (rulingLpi): Tint => ({
      share: 0.5,
      label: String(rulingLpi),
      screen: { kind, params: { rulingLpi, angleDeg: 45 } },
    }),
  );
  return {
    name: 'H rulings',
    shapes: [7, 4, 3, 2, 1].map((columns) =>
      headed('H 50 %, lpi', row('ruling', tints, PATCH_MM, columns, 1)),
    ),
  };
}

/** Zone H: grains by size, a line for each, a column for each tone. */
export function grainBlock(kind: string, grainsMm: readonly number[]): Block {
  const parts = noParts();
  const pitchMm = PATCH_MM + 1;
  for (const [column, share] of GRAIN_SHARES.entries())
    parts.labels.push(labelOn(percent(share), LABEL_COLUMN_MM + column * pitchMm + PATCH_MM / 2, 0));
  for (const [line, grainMm] of grainsMm.entries()) {
    const yMm = tidy(LINE_MM + line * pitchMm);
    parts.labels.push(labelBefore(String(grainMm), LABEL_COLUMN_MM - 0.3, yMm + PATCH_MM / 2 - LINE_MM / 2));
    for (const [column, share] of GRAIN_SHARES.entries())
      parts.patches.push({
        id: `grain-${line * GRAIN_SHARES.length + column + 1}`,
        zone: 'grain',
        share,
        xMm: tidy(LABEL_COLUMN_MM + column * pitchMm),
        yMm,
        widthMm: PATCH_MM,
        heightMm: PATCH_MM,
        label: percent(share),
        screen: { kind, params: { grainMm } },
      });
  }
  const widthMm = tidy(LABEL_COLUMN_MM + GRAIN_SHARES.length * pitchMm - 1);
  const heightMm = tidy(LINE_MM + grainsMm.length * pitchMm - 1);
  return { name: 'H grains', shapes: [headed('H grain mm, %', { widthMm, heightMm, parts })] };
}

/** The control strip: 25 × 5 mm, the same on the test plate and in the waste of every later plate. */
export const STRIP_MM = { widthMm: 25, heightMm: 5 } as const;

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

export const usualCap = (process: ProcessKind): number =>
  Number(processes[process].defaults['capPercent'] ?? 100) / 100;

/** Zone M: the control strip. */
export function stripBlock(capShare: number): Block {
  const parts = noParts();
  parts.strip = { xMm: 0, yMm: 0, ...STRIP_MM };
  parts.patches.push(...stripPatches(capShare));
  for (const { label, xMm, widthMm } of parts.patches)
    parts.labels.push(labelOn(label, xMm + widthMm / 2, STRIP_MM.heightMm));
  const shape = { widthMm: STRIP_MM.widthMm, heightMm: STRIP_MM.heightMm + LINE_MM, parts };
  return { name: 'M', shapes: [headed('M control strip %', shape)] };
}
