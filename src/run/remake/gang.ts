import type { Place } from '../../core/gang/contract.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import { resolveMaking } from '../../job/making.ts';
import type { OutlineAsked } from '../../job/outline.ts';
import { settingByKey } from '../../job/settings.ts';
import { gangSha256 } from '../../report/gang/gang.ts';
import type { GangReport } from '../../report/gang/schema.ts';
import type { GangEntry } from '../../store/notebook/entry.ts';
import { makeGang } from '../gang/gang.ts';
import type { LaidBefore } from '../gang/layout.ts';
import { type GangSettings, gangSettings } from '../gang/settings.ts';
import { gangDraft } from '../records/drafts.ts';
import {
  compareBits,
  formatsOf,
  type KnownFile,
  openDifferences,
  sameFiles,
  sheetOf,
  type Tool,
  tiffOf,
} from './compare.ts';
import type { Again, MadeAgain, Remaking } from './contract.ts';
import { findInputs } from './inputs.ts';
import { entryOnRecord } from './on-record.ts';

/** What a record tells of a plate on a sheet. */
type RememberedPlace = GangEntry['sheets'][number]['placed'][number];

/** A gang as it was made once. */
export interface RememberedGang
  extends Pick<GangReport, 'process' | 'dpi' | 'sheet' | 'asked' | 'askedSha256' | 'material'> {
  readonly label: string;
  readonly folder: string;
  readonly name: string;
  readonly tool: Tool;
  readonly arrangement: Pick<GangReport['arrangement'], 'method' | 'compared'>;
  readonly sheets: readonly {
    readonly bitsSha256: string;
    readonly placed: readonly RememberedPlace[];
  }[];
  readonly files: readonly KnownFile[];
  readonly fire: 'dark' | 'light';
}

/** Ids begin with the number in the order that the plates were given. */
const indexOf = ({ id }: Pick<RememberedPlace, 'id'>): number => Number.parseInt(id, 10) - 1;

const inOrder = ({ sheets }: RememberedGang): RememberedPlace[] =>
  sheets.flatMap(({ placed }) => placed).sort((a, b) => indexOf(a) - indexOf(b));

function laidBefore(gang: RememberedGang, anyway: boolean): LaidBefore {
  const placeOf = (one: RememberedPlace): Place & { widthPx: number; heightPx: number } => ({
    piece: indexOf(one),
    xPx: one.xPx,
    yPx: one.yPx,
    turned: one.turned,
    widthPx: one.widthPx,
    heightPx: one.heightPx,
  });
  return {
    ...gang.arrangement,
    sheets: gang.sheets.map(({ placed }) => placed.map(placeOf)),
    plates: inOrder(gang),
    expects: { bits: gang.sheets.map(({ bitsSha256 }) => bitsSha256), anyway },
  };
}

const sheetName = (index: number): string => `sheet${index + 1}`;

const sheetBits = (sheets: readonly { readonly bitsSha256: string }[]) =>
  sheets.map(({ bitsSha256 }, i) => ({ name: sheetName(i), bitsSha256 }));

/** The record of a gang in the form that its hash is made of. */
const recordOf = ({ process, dpi, sheet, asked, sheets }: RememberedGang) => ({
  ...{ process, dpi, sheet, asked },
  placed: sheets.map(({ placed }) => placed),
});

/** What was asked for, and the sheet that it was asked for. */
const askedOf = ({
  process,
  dpi,
  sheet,
  asked,
}: Pick<RememberedGang, 'process' | 'dpi' | 'sheet' | 'asked'>) => ({
  ...{ process, dpi },
  ...sheet,
  ...asked,
});

const isChanged = (gang: RememberedGang): boolean => gangSha256(recordOf(gang)) !== gang.askedSha256;

/** `known` is what a notebook holds of it, where it was changed since. */
function compareGangs(was: RememberedGang, is: GangReport, known: GangEntry | null): MadeAgain['remade'] {
  const { list, add, addAll, addTool, addChanged } = openDifferences();
  const now = is.sheets.flatMap(({ placed }) => placed).sort((a, b) => indexOf(a) - indexOf(b));
  for (const [i, plate] of inOrder(was).entries())
    add(`plate ${plate.id} ${plate.name}`, plate.bitsSha256, now[i]?.bitsSha256);
  addTool(was.tool, is.tool);
  addAll(askedOf(known ?? was), askedOf(is));
  addChanged(isChanged(was), was.label);
  return {
    kind: 'gang',
    ...compareBits(sheetBits(was.sheets), sheetBits(is.sheets)),
    sameFiles: sameFiles(
      was.files,
      is.sheets.flatMap(({ files }) => files),
    ),
    differences: list,
    written: [],
    report: is,
  };
}

/** The settings of the record, whatever bed the machine of today has. */
function settingsOf({ asked, sheet }: RememberedGang): GangSettings {
  const own = Object.entries(asked).filter(([key]) => Object.hasOwn(gangSettings.shape, key));
  return {
    ...gangSettings.parse(Object.fromEntries(own)),
    sheetWidthMm: sheet.widthMm,
    sheetHeightMm: sheet.heightMm,
  };
}

async function makeAgain(
  gang: RememberedGang,
  again: Again,
  context: Parameters<Remaking['make']>[1],
): Promise<MadeAgain> {
  const { label, folder, asked, files } = gang;
  const name = again.name ?? gang.name;
  const settings = settingsOf(gang);
  const all = inOrder(gang);
  const wanted = settings.duplicates === undefined ? all : all.slice(0, 1);
  const paths = await findInputs(
    wanted.map(({ id, file, sha256 }) => ({ what: `plate ${id}`, name: file, sha256, paths: [] })),
    { label, folder, given: again.input, notebook: null },
  );
  const sheet = sheetOf(gang.material, again.workshop);
  const { passes, depthMm } = asked as { passes?: number; depthMm?: number };
  const depth = {
    ...(passes === undefined ? {} : { passes }),
    ...(depthMm === undefined ? {} : { depthMm }),
  };
  const { report, refused, written } = await makeGang(
    {
      plates: paths,
      name,
      settings,
      wish: {
        process: gang.process as ProcessKind,
        material: sheet.material ?? null,
        materialConfirmed: sheet.materialConfirmed ?? null,
      },
      reading: {
        fire: all[0]!.fire,
        dpi: gang.dpi,
        maxPixels: settingByKey.get('maxPixels')!.fallback as number,
      },
      depth,
      makingFor: ({ process, material, materialConfirmed }) =>
        resolveMaking(
          {
            process,
            kerfMm: gang.sheet.kerfMm,
            ...(material === null ? {} : { material }),
            ...(materialConfirmed === null ? {} : { materialConfirmed }),
          },
          again.workshop,
        ),
      outline: asked as OutlineAsked,
      formats: formatsOf(label, files, again),
      stored: { fire: gang.fire, tiff: tiffOf(files, again) },
      folder: again.folder,
      overwrite: again.overwrite,
      protect: again.protect,
      strict: false,
      again: laidBefore(gang, again.anyway),
    },
    context,
  );
  const isIt = ({ askedSha256 }: GangEntry) => askedSha256 === gang.askedSha256;
  const known = isChanged(gang) ? await entryOnRecord(again.notebook, 'gang', isIt) : null;
  return {
    remade: { ...compareGangs(gang, report, known), written: [...written] },
    refused,
    cautions: report.cautions,
    entries: [{ name, picture: null, draft: (run) => gangDraft(report, run) }],
  };
}

/** Makes the sheets of a gang again. */
export const remakeGang = (gang: RememberedGang): Remaking => ({
  label: gang.label,
  make: (again, context) => makeAgain(gang, again, context),
});
