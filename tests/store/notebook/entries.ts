import type {
  CalibrationEntry,
  GangEntry,
  NoteEntry,
  PlateEntry,
  StripEntry,
  TestPlateEntry,
} from '../../../src/store/notebook/entry.ts';

const hex = (of: string): string => of.repeat(64);

/** An entry of a plate, but for what a test says otherwise. */
export const plateEntry = (over: Partial<PlateEntry> = {}): PlateEntry => ({
  version: 2,
  id: 'e00000000001',
  at: '2031-05-03T09:00:00.000Z',
  kind: 'plate',
  command: 'prepare',
  name: 'ferry',
  made: true,
  note: null,
  tool: { version: '0.1.0', engine: { sharp: '0.35.5', libvips: '8.18.0', algorithms: 2 } },
  input: { name: 'ferry.png', sha256: hex('a'), path: 'pictures/ferry.png' },
  job: { process: 'relief', dpi: 500, widthMm: 60 },
  plate: { process: 'relief', widthMm: 60, heightMm: 40, dpi: 500 },
  screen: { kind: 'dot', rulingLpi: 44.6 },
  machine: 'big',
  press: null,
  material: { id: 'cherry-9', kind: 'cherry', batch: 'B7', confirmedBy: null },
  curve: null,
  coverage: { etched: 0.58, inked: 0.42, predicted: 0.66 },
  passes: 4,
  timeS: 1000,
  slotS: 3600,
  hold: [{ code: 'thin-walls', limitMm: 0.4, worstMm: 0.1, count: 12, areaMm2: 3 }],
  cautions: [{ code: 'thin-walls', severity: 'warn', text: '12 walls are thin' }],
  files: [{ role: 'plate', name: 'ferry.plate.png', format: 'png', packed: null, sha256: hex('c') }],
  fire: 'dark',
  bitsSha256: hex('b'),
  ...over,
});

const headOf = ({ version, at, made, note, tool, machine, material }: PlateEntry) => ({
  ...{ version, at, made, note, tool, machine, material },
  cautions: [],
  files: [],
});

/** An entry of a test plate. */
export const testPlateEntry = (over: Partial<TestPlateEntry> = {}): TestPlateEntry => ({
  ...headOf(plateEntry()),
  id: 'e00000000002',
  command: 'testplate',
  name: 'shop-test',
  kind: 'testplate',
  layoutId: '2e126d96',
  job: { process: 'intaglio', dpi: 300, widthMm: 150, heightMm: 100 },
  passLadder: false,
  plate: { process: 'intaglio', widthMm: 150, heightMm: 100, dpi: 300 },
  screen: { kind: 'cell', cellMm: 0.2 },
  press: null,
  etched: 0.2,
  timeS: 600,
  plates: [{ name: 'shop-test', bitsSha256: hex('d') }],
  fire: 'dark',
  ...over,
});

type Placed = GangEntry['sheets'][number]['placed'][number];

export const placed = (over: Partial<Placed> = {}): Placed => ({
  id: '01-abcdef',
  name: 'ferry',
  file: 'ferry.plate.png',
  sha256: hex('c'),
  fire: 'dark',
  bitsSha256: hex('b'),
  turned: false,
  mirrored: true,
  screen: 'dot',
  xPx: 0,
  yPx: 0,
  widthPx: 1181,
  heightPx: 787,
  ...over,
});

/** An entry of a gang of one plate on one sheet. */
export const gangEntry = (over: Partial<GangEntry> = {}): GangEntry => ({
  ...headOf(plateEntry()),
  id: 'e00000000003',
  command: 'gang',
  name: 'tuesday',
  kind: 'gang',
  process: 'relief',
  dpi: 500,
  sheet: {
    widthMm: 140,
    heightMm: 100,
    marginMm: 6,
    gutterMm: 6,
    kerfMm: 0.2,
    sawAllowanceMm: 1,
    turn: 'auto',
  },
  asked: { outlineRadiusMm: 2 },
  askedSha256: hex('e'),
  arrangement: { method: 'rows', compared: 1 },
  passes: 4,
  timeS: 1200,
  sheets: [{ etched: 0.42, bitsSha256: hex('f'), placed: [placed()] }],
  fire: 'dark',
  ...over,
});

/** An entry of a measured curve. */
export const calibrationEntry = (over: Partial<CalibrationEntry> = {}): CalibrationEntry => ({
  ...headOf(plateEntry()),
  id: 'e00000000004',
  command: 'calibrate',
  name: 'cotton',
  kind: 'calibration',
  curve: {
    name: 'cotton',
    sha256: hex('7'),
    measuredOn: '2031-05-02',
    knots: [
      [0, 0],
      [0.5, 0.61],
      [1, 1],
    ],
  },
  layoutId: '2e126d96',
  process: 'intaglio',
  dpi: 300,
  screen: { kind: 'dot', params: { rulingLpi: 50 } },
  scans: [{ name: 'proof.png', sha256: hex('8') }],
  wedge: null,
  target: 'lightness',
  whiteDensity: 0.04,
  solidDensity: 1.35,
  capPercent: 98,
  floorPercent: 5,
  limitsMm: { minWallMm: 0.15, maxGapMm: null },
  into: null,
  ...over,
});

/** An entry of a control strip that holds. */
export const stripEntry = (over: Partial<StripEntry> = {}): StripEntry => ({
  ...headOf(plateEntry()),
  id: 'e00000000005',
  command: 'calibrate',
  name: 'today',
  files: [],
  kind: 'strip',
  curve: { name: 'cotton', sha256: hex('7'), measuredOn: '2031-05-02' },
  layoutId: '5add1ece',
  process: 'intaglio',
  dpi: 300,
  screen: { kind: 'line', params: { rulingLpi: 40 } },
  scans: [{ name: 'today.png', sha256: hex('6') }],
  wedge: null,
  isLikeRead: true,
  holds: true,
  patches: [
    { share: 0.25, lightness: 71, expected: 70 },
    { share: 0.75, lightness: 30.5, expected: 33 },
  ],
  ...over,
});

export const noteEntry = (about: string, seen: NoteEntry['seen']): NoteEntry => ({
  version: 2,
  id: 'e00000000009',
  at: '2031-05-04T09:00:00.000Z',
  kind: 'note',
  about,
  seen,
});
