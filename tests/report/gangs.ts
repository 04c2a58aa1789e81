import { type GangReport, gangSchema, type PlacedPlate } from '../../src/report/gang/schema.ts';

const HASH = 'ab'.repeat(32);

type Lying = readonly [
  name: string,
  xMm: number,
  yMm: number,
  widthMm: number,
  heightMm: number,
  turned?: boolean,
];

const placed = ([name, xMm, yMm, widthMm, heightMm, turned = false]: Lying, index: number): PlacedPlate => ({
  id: `0${index + 1}-ababab`,
  name,
  file: `${name}.plate.png`,
  sha256: HASH,
  fire: 'dark',
  xMm,
  yMm,
  widthMm,
  heightMm,
  turned,
  xPx: xMm * 10,
  yPx: yMm * 10,
  widthPx: widthMm * 10,
  heightPx: heightMm * 10,
  mirrored: true,
  screen: null,
  bitsSha256: HASH,
  etched: 0.5,
  label: null,
  report: 'none',
});

/** The report of a gang drawn up by hand: one sheet for each list of plates. */
export const gangOf = (sheets: readonly (readonly Lying[])[], widthMm = 300, heightMm = 200): GangReport =>
  gangSchema.parse({
    schema: 'etchwright/gang',
    version: 1,
    tool: { name: 'etchwright', version: '0.0.0', engine: { sharp: '0', libvips: '0', algorithms: 1 } },
    process: 'intaglio',
    dpi: 254,
    pitchMm: 0.1,
    workshop: { name: 'unmeasured', sha256: null, machine: null, press: null },
    material: null,
    passes: null,
    sheet: { widthMm, heightMm, marginMm: 5, gutterMm: 6, kerfMm: 0.2, sawAllowanceMm: 1, turn: 'auto' },
    asked: {},
    askedSha256: HASH,
    sheets: sheets.map((plates, index) => ({
      number: index + 1,
      raster: { widthMm, heightMm, widthPx: widthMm * 10, heightPx: heightMm * 10 },
      etched: 0.2,
      time: null,
      placed: plates.map(placed),
      bitsSha256: HASH,
      outline: null,
      files: [],
    })),
    arrangement: {
      method: 'rows',
      compared: 1,
      plates: sheets.flat().length,
      share: 0.5,
      leastSheets: 1,
      totalS: 60,
      singlyS: 120,
    },
    cautions: [],
  } satisfies GangReport);
