import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { caution } from './index.ts';

/** A depth is wanted, but nothing says how deep one pass goes in this sheet: then the passes are not known. */
export function passCautions({ making, depth }: Pick<Judged, 'making' | 'depth'>): Caution[] {
  const { sheet } = making;
  if (!depth.stated || depth.passes !== null) return [];
  return [
    caution({
      code: 'passes-unknown',
      severity: 'note',
      text: `No depth per pass is known for ${sheet.id ?? sheet.kind}, so the number of passes is not either`,
      value: depth.depthMm,
      unit: 'mm',
      cure: 'Give --passes, or write the sheet and its depthPerPassMm into the workshop file.',
    }),
  ];
}
