import { caution } from '../cautions/index.ts';
import { deepestMm } from '../deepest.ts';
import type { Caution } from '../schema.ts';
import { clock, num, percent } from '../words.ts';
import type { SetReport } from './schema.ts';

/** "left standing after each cut: 82 %, 61 %, 30 %, 12 %" */
export const blockWords = ({ states }: NonNullable<SetReport['block']>): string =>
  `left standing after each cut: ${states.map(({ standing }) => percent(standing)).join(', ')}`;

/** Minutes at the machine up to a state, in words; a dash where they are not known. */
export const timeSoFar = (timeS: number | null): string => (timeS === null ? '–' : `${clock(timeS)} min`);

/** What the cuts of one block do together. */
export function blockCautions(block: SetReport['block'], thicknessMm: number | null): Caution[] {
  if (!block || block.deepestMm === null || thicknessMm === null || block.cutsInOnePlace < 2) return [];
  const limitMm = deepestMm(thicknessMm);
  if (block.deepestMm <= limitMm) return [];
  return [
    caution({
      code: 'cuts-add-up',
      severity: 'warn',
      text: `Where cuts overlap the block is cut ${block.cutsInOnePlace} times, up to ${num(block.deepestMm, 2)} mm deep in a sheet of ${num(thicknessMm, 2)} mm (${percent(block.again)} of it; two thirds are the most, from memory)`,
      value: block.deepestMm,
      limit: Number(limitMm.toFixed(3)),
      unit: 'mm',
      cure: 'Give --overlap 0 or less of it, less --depth, or a thicker block.',
    }),
  ];
}
