import { screens } from '../screens/index.ts';
import { type Block, headed, LINE_MM, labelBefore, labelOn, noParts, tidy } from './parts.ts';
import { type LayoutScreen, settledSample } from './samples.ts';
import { LABEL_COLUMN_MM } from './sides.ts';
import { PATCH_MM, percent, row, type Tint } from './tones.ts';

const GRAIN_PATCH_MM = 5;
/** Rulings from the coarsest that still looks like a screen to the finest that a press room tries. */
const RULINGS_LPI = [25, 35, 45, 55, 65, 75, 85];
const GRAINS_MM = [0.1, 0.2, 0.3, 0.5];
const GRAIN_SHARES = [0.3, 0.5, 0.7];

type PlateFacts = Parameters<typeof settledSample>[1];

/** A zone of samples, and those the plate's pixels are too coarse for. */
export interface Samples {
  readonly block: Block | null;
  readonly leftOut: readonly string[];
}

/** The sizes a plate can show as samples, with their screens, and words for the others. */
function shown(
  sizes: readonly number[],
  plate: PlateFacts,
  what: string,
  screenOf: (size: number) => LayoutScreen,
) {
  const samples = sizes.map((size) => ({ size, screen: settledSample(screenOf(size), plate) }));
  return {
    fit: samples.flatMap(({ size, screen }) => (screen ? [{ size, screen }] : [])),
    leftOut: samples
      .filter(({ screen }) => !screen)
      .map(({ size }) => `${what.replace('{}', String(size))} is too fine for ${plate.dpi} dpi`),
  };
}

/** Zone H: clustered dots at 45° and half tone, by ruling. */
export function rulingSamples(plate: PlateFacts): Samples {
  const { fit, leftOut } = shown(RULINGS_LPI, plate, 'a ruling of {} lpi', (rulingLpi) => ({
    kind: screens.dot.kind,
    params: { rulingLpi, angleDeg: 45 },
  }));
  const tints = fit.map(({ size, screen }): Tint => ({ share: 0.5, label: String(size), screen }));
  const shapes = [7, 4, 3, 2, 1].map((columns) =>
    headed('H 50 %, lpi', row('ruling', '', tints, PATCH_MM, columns, 0.6)),
  );
  return { block: tints.length > 0 ? { name: 'H rulings', shapes } : null, leftOut };
}

/** Zone H: grains by size, a line for each, a column for each tone. */
export function grainSamples(plate: PlateFacts): Samples {
  const { fit, leftOut } = shown(GRAINS_MM, plate, 'a grain of {} mm', (grainMm) => ({
    kind: screens.grain.kind,
    params: { grainMm },
  }));
  return { block: fit.length > 0 ? grainBlock(fit) : null, leftOut };
}

function grainBlock(grains: readonly { readonly size: number; readonly screen: LayoutScreen }[]): Block {
  const parts = noParts();
  const pitchMm = GRAIN_PATCH_MM + 0.6;
  for (const [column, share] of GRAIN_SHARES.entries())
    parts.labels.push(labelOn(percent(share), LABEL_COLUMN_MM + column * pitchMm + GRAIN_PATCH_MM / 2, 0));
  for (const [line, { size, screen }] of grains.entries()) {
    const yMm = tidy(LINE_MM + line * pitchMm);
    parts.labels.push(
      labelBefore(String(size), LABEL_COLUMN_MM - 0.3, yMm + GRAIN_PATCH_MM / 2 - LINE_MM / 2),
    );
    for (const [column, share] of GRAIN_SHARES.entries())
      parts.patches.push({
        id: `grain-${line * GRAIN_SHARES.length + column + 1}`,
        zone: 'grain',
        share,
        xMm: tidy(LABEL_COLUMN_MM + column * pitchMm),
        yMm,
        widthMm: GRAIN_PATCH_MM,
        heightMm: GRAIN_PATCH_MM,
        label: percent(share),
        screen,
      });
  }
  const widthMm = tidy(LABEL_COLUMN_MM + GRAIN_SHARES.length * pitchMm - 0.6);
  const heightMm = tidy(LINE_MM + grains.length * pitchMm - 0.6);
  return { name: 'H grains', shapes: [headed('H grain mm, %', { widthMm, heightMm, parts })] };
}
