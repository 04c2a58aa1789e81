import type { NoteEntry, PlateEntry } from '../../../src/store/notebook/entry.ts';

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

export const noteEntry = (about: string, seen: NoteEntry['seen']): NoteEntry => ({
  version: 2,
  id: 'e00000000009',
  at: '2031-05-04T09:00:00.000Z',
  kind: 'note',
  about,
  seen,
});
