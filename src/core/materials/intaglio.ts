import { defineMaterial, type Limits, type MaterialDef, memory } from './contract.ts';

const acrylicLimits: Limits = {
  depthMm: memory(0.1),
  depthPerPassMm: memory(0.1),
  minLandMm: memory(0.08),
  minMarkMm: memory(0.1),
  maxPoolMm: memory(0.8),
};

const metalLimits: Limits = {
  depthMm: memory(0.06),
  depthPerPassMm: memory(0.01),
  minLandMm: memory(0.05),
  minMarkMm: memory(0.05),
  maxPoolMm: memory(0.8),
};

/** Around the line of CO₂ lasers (9.3 to 10.6 µm): bare metal throws the beam back. */
const CO2_UM = { from: 9, to: 11 };

const METAL_REASON =
  'Bare metal throws back the beam of a CO₂ laser; elsewhere only on a machine made for metal.';
const METAL_CAUTION =
  'Only on a machine made for metal and by its trained operator: reflections, metal fume.';

/** Engravers mark metal; cutting it through takes another machine, and shears or a saw are at hand. */
const METAL_OUTLINE = { as: 'template', source: 'from memory' } as const;

const metal = (kind: string, names: readonly string[]): MaterialDef =>
  defineMaterial({
    kind,
    summary: `${kind} sheet, on a machine made for metal`,
    status: 'ask',
    reason: METAL_REASON,
    source: 'from memory; purdue.edu/bidc',
    names: [kind, ...names],
    neverAtUm: CO2_UM,
    outline: METAL_OUTLINE,
    processes: ['intaglio'],
    limits: metalLimits,
    cautions: [METAL_CAUTION],
    safety: ['metals'],
  });

const METAL_NAMES = ['metal', 'zinc', 'copper', 'brass', 'steel', 'aluminium', 'aluminum'];
const COATS = ['coated', 'painted', 'grounded', 'varnished', 'anodised', 'anodized'];

/** Kinds that intaglio plates are made of. */
export const intaglioMaterials = {
  acrylic: defineMaterial({
    kind: 'acrylic',
    summary: 'cast acrylic',
    status: 'declare',
    reason: 'Flammable vapour; clear sheets of other plastics look just like it.',
    source: 'Yuan & Das 2007 (tracks 22–130 µm deep); common practice',
    names: [
      'acrylic',
      'cast acrylic',
      'PMMA',
      'acrylic glass',
      'plexiglass',
      'plexiglas',
      'perspex',
      'acrylglas',
      'metacrilato',
    ],
    processes: ['intaglio'],
    limits: acrylicLimits,
    cautions: ['Cast, not extruded; take the film off; working extraction.'],
  }),
  zinc: metal('zinc', ['zinc plate', 'zink']),
  copper: metal('copper', ['copper plate', 'kupfer', 'cuivre', 'cobre']),
  brass: metal('brass', ['messing', 'laiton']),
  steel: metal('steel', ['stainless steel', 'mild steel', 'stahl', 'acier']),
  aluminium: metal('aluminium', ['aluminum', 'litho plate', 'alu']),
  metal: metal('metal', ['metal plate', 'bare metal', 'sheet metal']),
  'coated-metal': defineMaterial({
    kind: 'coated-metal',
    summary: 'metal under paint, ground or varnish, to be bitten afterwards',
    status: 'ask',
    reason: 'The coat burns off and bares metal that throws back the beam; what the coat is matters.',
    source: 'one artist’s failed resist plate (krrrl.blogspot.com 2018); rooms disagree',
    names: COATS.flatMap((coat) => METAL_NAMES.map((name) => `${coat} ${name}`)),
    processes: ['intaglio'],
    outline: METAL_OUTLINE,
    limits: { minLandMm: memory(0.1), minMarkMm: memory(0.1), maxPoolMm: memory(0.8) },
    safety: ['metals', 'acids'],
    cautions: [METAL_CAUTION, 'Acid and salt baths only by trained people with the workshop’s own sheets.'],
  }),
} as const satisfies Record<string, MaterialDef>;
