/** Height of type above the bed of the press, which a block must come to. */
export interface TypeHeight {
  readonly where: string;
  readonly mm: number;
}

/** briarpress.org/21710 and Béguin's dictionary (polymetaal.nl); the French height is about right only. */
export const TYPE_HEIGHTS: readonly TypeHeight[] = [
  { where: 'Britain, America', mm: 23.32 },
  { where: 'Germany', mm: 23.56 },
  { where: 'France (about)', mm: 23.6 },
  { where: 'Russia', mm: 23.82 },
  { where: 'Netherlands', mm: 24.85 },
];

/** A block prints clean within so much of the height (britishletterpress.co.uk on roller height). */
export const TYPE_HIGH_WITHIN_MM = 0.02;

/** What goes under a block of this thickness, in mm; null where it is too thick for the height already. */
export const packingMm = (heightMm: number, blockMm: number): number | null =>
  blockMm > heightMm + TYPE_HIGH_WITHIN_MM ? null : Math.max(0, heightMm - blockMm);
