import { closeSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseTestPlate } from '../../src/core/testplate/layout.ts';
import { readCsv } from '../../src/io/csv.ts';
import { openPicture } from '../../src/io/read/open.ts';
import { openSamples } from '../../src/io/scratch.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { isColumn, readList } from '../../src/job/list.ts';
import { parseMeasure } from '../../src/job/measures.ts';
import { startingWorkshop } from '../../src/job/workshop-start.ts';
import { readMeasuredCurve } from '../../src/run/calibration/measured-curves.ts';
import { readJobLayer } from '../../src/run/job-file.ts';
import { openRecorded } from '../../src/run/remake/open.ts';
import { readWorkshop } from '../../src/run/workshop-file.ts';
import { ledgerLines } from '../../src/store/edition/entry.ts';
import { readLedger } from '../../src/store/edition/ledger.ts';
import { notebookLines } from '../../src/store/notebook/entry.ts';
import { readLine } from '../../src/store/read-line.ts';
import { smallPlate } from '../calibration/small-plate.ts';
import { noteEntry, plateEntry } from '../store/notebook/entries.ts';
import type { openSpoiler } from './spoil.ts';

const root = join(import.meta.dirname, '../..');
const text = (path: string): string => readFileSync(join(root, path), 'utf8');

/** A reader of something from outside, and good inputs to be spoiled. */
interface Target {
  readonly name: string;
  /** Reads one spoiled input; `path` is a file of its own to put it into. Throws what the reader throws. */
  run(spoil: ReturnType<typeof openSpoiler>, path: string): Promise<void>;
}

const jsonFile = (
  name: string,
  good: readonly string[],
  read: (path: string) => Promise<unknown>,
): Target => ({
  name,
  async run(spoil, path) {
    writeFileSync(path, spoil.text(spoil.pick(good)));
    await read(path);
  },
});

const MOST_PICTURE_BYTES = 200_000;
const MOST_PIXELS = 4_000_000;

/** Every small picture that the tests have, of each kind that is read. */
const pictures = ['fixtures/pictures', 'fixtures/corpus/good', 'fixtures/corpus/odd']
  .flatMap((folder) => readdirSync(join(root, folder)).map((file) => join(root, folder, file)))
  .filter((path) => statSync(path).isFile() && statSync(path).size <= MOST_PICTURE_BYTES)
  .filter((path) => /\.(png|jpe?g|tiff?|webp|avif|gif|svg|bmp|p[bgpan]m)$/i.test(path));

const byEnding = new Map<string, string[]>();
for (const path of pictures) {
  const ending = path.slice(path.lastIndexOf('.') + 1).toLowerCase();
  byEnding.set(ending, [...(byEnding.get(ending) ?? []), path]);
}

const list =
  'name,picture,width,cap,material\nAda P.,tree.jpg,150mm,,\n"Brandt, J.",net.jpg,"12,5 cm",75,zinc\n';

const curve = JSON.stringify({
  schema: 'etchwright/curve',
  version: 1,
  name: 'acr3',
  measuredOn: '2031-05-03',
  process: 'intaglio',
  dpi: 500,
  knots: [
    [0, 0],
    [1, 1],
  ],
});

/** A `.v` file of 3 × 2 grey samples. */
function scratchFile(): Uint8Array {
  const file = new Uint8Array(64 + 6);
  const view = new DataView(file.buffer);
  view.setUint32(0, 0xb6a6f208);
  for (const [at, value] of [
    [4, 3],
    [8, 2],
    [12, 1],
    [20, 0],
  ] as const)
    view.setInt32(at, value, true);
  return file;
}

const LEDGER = [
  '{"version":1,"id":"e00000000001","at":"2031-05-03T09:00:00.000Z","kind":"begin","title":"Ferry","artist":"M. Quay","year":2031,"medium":"relief","sizes":{"edition":5,"AP":1,"PP":0,"HC":0},"sheets":9}',
  '{"version":1,"id":"e00000000002","at":"2031-05-03T09:00:00.000Z","kind":"proof","as":"trial","count":2}',
  '{"version":1,"id":"e00000000003","at":"2031-05-03T09:00:00.000Z","kind":"correct","about":"e00000000002","words":"one"}',
];

export const targets: readonly Target[] = [
  jsonFile(
    'job',
    [text('examples/ferry-key.job.json'), text('examples/sound-tone.job.json')],
    async (path) => {
      resolveJob([await readJobLayer(path)]);
    },
  ),
  jsonFile('workshop', [JSON.stringify(startingWorkshop('schema.json'), null, 2)], readWorkshop),
  jsonFile('curve', [curve], readMeasuredCurve),
  jsonFile(
    'report',
    [JSON.stringify({ schema: 'etchwright/report', version: 1, job: {}, files: [] })],
    (path) => openRecorded(path, async () => path),
  ),
  {
    name: 'list',
    async run(spoil) {
      const records = readCsv(new TextEncoder().encode(spoil.text(list)), 'list.csv', isColumn);
      readList(records, 'list.csv', ['format', 'out']);
    },
  },
  {
    name: 'layout',
    async run(spoil) {
      const spoiled = spoil.text(JSON.stringify(smallPlate(spoil.pick(['relief', 'intaglio'] as const))));
      let value: unknown;
      try {
        value = JSON.parse(spoiled);
      } catch {
        return;
      }
      parseTestPlate(value);
    },
  },
  {
    name: 'notebook',
    async run(spoil) {
      readLine(
        spoil.text(JSON.stringify(spoil.pick([plateEntry(), noteEntry('e00000000001', {})]))),
        notebookLines,
      );
    },
  },
  {
    name: 'ledger',
    async run(spoil) {
      const lines = LEDGER.map((line) => readLine(spoil.pick([line, spoil.text(line)]), ledgerLines));
      readLedger(lines.flatMap((line) => ('entry' in line ? [line.entry] : [])));
    },
  },
  {
    name: 'measures',
    async run(spoil) {
      const unit = spoil.pick(['mm', 'percent', 'degrees', 'minutes', 'dpi', 'lpi', null]);
      const found = parseMeasure(
        unit,
        spoil.text(spoil.pick(['120mm', '4 3/4in', '80%', '16/cm', '12,5 cm'])),
      );
      if (found !== null && !Number.isFinite(found)) throw new Error(`read as ${found}`);
    },
  },
  {
    name: 'scratch',
    async run(spoil, path) {
      writeFileSync(path, spoil.bytes(scratchFile()));
      closeSync(openSamples(path).fd);
    },
  },
  ...[...byEnding].map(
    ([ending, files]): Target => ({
      name: `picture ${ending}`,
      async run(spoil, path) {
        writeFileSync(path, spoil.bytes(readFileSync(spoil.pick(files))));
        const options = { maxPixels: MOST_PIXELS, scratchDir: join(path, '..'), drawingWidthPx: 200 };
        (await openPicture({ path, name: `spoiled.${ending}` }, options)).close();
      },
    }),
  ),
];
