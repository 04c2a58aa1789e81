import { EtchError } from '../../core/errors.ts';
import type { Report } from '../../report/schema.ts';
import { makeTestPlate } from '../calibration/testplate.ts';
import { testPlateDraft } from '../records/drafts.ts';
import {
  compareBits,
  formatsOf,
  type KnownFile,
  openDifferences,
  sameFiles,
  type Tool,
  tiffOf,
} from './compare.ts';
import type { Again, MadeAgain, Remaking } from './contract.ts';
import { entryOnRecord } from './on-record.ts';
import { remakeRequest } from './plate.ts';

/** A test plate as it was made once. */
export interface RememberedTestPlate {
  readonly label: string;
  readonly name: string;
  readonly tool: Tool;
  readonly layoutId: string;
  readonly job: Readonly<Record<string, unknown>>;
  readonly jobChanged: boolean;
  readonly passLadder: boolean;
  readonly material: Report['material'];
  readonly files: readonly KnownFile[];
  readonly fire: 'dark' | 'light';
  readonly plates: readonly { readonly name: string; readonly bitsSha256: string }[];
}

/** Its sides. Throws an EtchError of kind 'usage' where the record has lost them. */
function sizeOf({ label, job: { widthMm, heightMm } }: RememberedTestPlate) {
  if (typeof widthMm === 'number' && typeof heightMm === 'number') return { widthMm, heightMm };
  throw new EtchError(
    'usage',
    'report-not-usable',
    `Making the test plate of ${label} again: its width or height is not told`,
    'Use the record as it was written.',
  );
}

async function makeAgain(
  plate: RememberedTestPlate,
  again: Again,
  context: Parameters<Remaking['make']>[1],
): Promise<MadeAgain> {
  const { label, files, passLadder } = plate;
  const { job, making } = remakeRequest({ ...plate, curve: null }, again.workshop);
  const name = again.name ?? plate.name;
  const { report, refused, cautions, written } = await makeTestPlate(
    {
      name,
      job: { ...job, ...sizeOf(plate) },
      making,
      formats: formatsOf(label, files, again),
      stored: { fire: plate.fire, tiff: tiffOf(files, again) },
      folder: again.folder,
      overwrite: again.overwrite,
      protect: again.protect,
      strict: false,
      passLadder,
      expects: { bits: plate.plates.map(({ bitsSha256 }) => bitsSha256), anyway: again.anyway },
    },
    context,
  );
  const { list, add, addAll, addTool, addChanged } = openDifferences();
  addTool(plate.tool, report.tool);
  const known = plate.jobChanged
    ? await entryOnRecord(
        again.notebook,
        'testplate',
        ({ plates: [first] }) => first!.bitsSha256 === plate.plates[0]!.bitsSha256,
      )
    : null;
  addAll(known?.job ?? plate.job, report.job);
  add('layout', plate.layoutId, report.layoutId);
  addChanged(plate.jobChanged, label);
  // a new name of the files is no other plate
  const named = report.plates.map((one, i) => ({ ...one, name: plate.plates[i]?.name ?? one.name }));
  return {
    remade: {
      kind: 'testplate',
      ...compareBits(plate.plates, named),
      sameFiles: sameFiles(files, report.files),
      differences: list,
      written: [...written],
      report,
    },
    refused,
    cautions,
    entries: [{ name, picture: null, draft: (run) => testPlateDraft(report, run) }],
  };
}

/** Makes a test plate again. */
export const remakeTestPlate = (plate: RememberedTestPlate): Remaking => ({
  label: plate.label,
  make: (again, context) => makeAgain(plate, again, context),
});
