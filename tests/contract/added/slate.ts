import { defineMaterial, memory } from '../../../src/core/materials/contract.ts';

/** Roofing slate, as a sheet that must be asked about. */
export const slate = defineMaterial({
  kind: 'slate',
  summary: 'roofing slate',
  status: 'ask',
  reason: 'Splinters when it is heated unevenly; what is in it differs from quarry to quarry.',
  source: 'from memory',
  names: ['slate', 'roof slate'],
  engraveOnly: true,
  outline: { as: 'template', source: 'from memory' },
  processes: ['relief'],
  limits: { minWallMm: memory(0.6), minGapMm: memory(0.4) },
  sheetNotes: [{ what: 'flatness', text: 'lay a rule across it: cleft slate is rarely flat', blank: null }],
});
