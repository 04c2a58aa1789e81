import { dirname, join } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import { MM_PER_INCH, mmFor } from '../../core/geometry.ts';
import { processes } from '../../core/processes/index.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import { estimatePass } from '../../core/time/estimate.ts';
import { type FileSet, openFileSet, type Slot } from '../../io/atomic.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import { sweepStale } from '../../io/stale.ts';
import { depthOf } from '../../job/hold-limits.ts';
import { nothingToDo } from '../../job/idle.ts';
import { flagFor } from '../../job/settings.ts';
import { gangCautions } from '../../report/cautions/gang.ts';
import { refuses } from '../../report/cautions/index.ts';
import { remadeCautions } from '../../report/cautions/remade.ts';
import { buildGangReport, placedPlates, type SheetParts } from '../../report/gang/gang.ts';
import { labelSheet } from '../../report/gang/labels.ts';
import type { GangReport } from '../../report/gang/schema.ts';
import type { Judged } from '../../report/judged.ts';
import type { Caution } from '../../report/schema.ts';
import { type OutlineFile, openOutlineFiles, writeOutlineFiles } from '../outline/page.ts';
import type { RunContext } from '../plate/context.ts';
import { finishDrawn } from '../plate/drawn-plate.ts';
import { type OpenFile, openPlateFiles } from '../plate/plate-file.ts';
import { PLATE, refuseWithoutRoom } from '../plate/room.ts';
import { plateStem } from '../plate/stem.ts';
import { toolFacts } from '../tool.ts';
import { gangAsked } from './asked.ts';
import { type GangLayout, itemsOf, type LaidBefore, type LaidSheet, layOutGang } from './layout.ts';
import type { GangOutlines } from './outline.ts';
import { type GangRequest, type Settled, settle } from './settle.ts';
import { composeSheet, openPlates, openSheetRoom, proveSheet } from './sheet.ts';
import { layGuide, withRoom } from './sheet-guide.ts';

export interface MadeGang {
  readonly report: GangReport;
  /** True when a caution forbids the sheets; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly written: readonly string[];
}

/** Files of one run, open under temporary names; null where nothing is to be written. */
interface OpenGang {
  readonly set: FileSet;
  readonly sheets: readonly (readonly OpenFile[])[];
  readonly outlines: readonly (readonly OutlineFile[])[];
  readonly report: Slot;
  readonly labels: Slot;
  readonly paths: readonly string[];
}

/** Outlines laid, and the files that were read for them. */
type Outlines = GangOutlines & { readonly inputs: readonly string[] };

const textOf = (value: unknown): Uint8Array =>
  new TextEncoder().encode(typeof value === 'string' ? value : `${JSON.stringify(value, null, 2)}\n`);

async function openGang(
  { folder, name, overwrite, protect, plates, formats }: GangRequest,
  sheets: readonly LaidSheet[],
  outlines: Outlines | null,
  context: RunContext,
): Promise<OpenGang | null> {
  if (folder === null) return null;
  const reports = plates.map((path) => join(dirname(path), `${plateStem(path)}.report.json`));
  const inputs = [...plates, ...reports, ...(outlines?.inputs ?? []), ...protect];
  const set = openFileSet({ owner: context.owner, protect: inputs, overwrite });
  try {
    await sweepStale(folder, context.owner);
    const open: OpenFile[][] = [];
    const drawn: OutlineFile[][] = [];
    for (const { number } of sheets) {
      const stem = `${name}.sheet${number}`;
      open.push(await openPlateFiles(set, folder, stem, formats));
      if (outlines) drawn.push(await openOutlineFiles(set, folder, stem));
    }
    const paths = [join(folder, `${name}.gang.json`), join(folder, `${name}.labels.html`)];
    const report = await set.add(paths[0]!);
    const labels = await set.add(paths[1]!);
    return { set, sheets: open, outlines: drawn, report, labels, paths };
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

/** Plates of runs pack as runs only where all of them do; what nobody knows may repeat. */
function packingOf(sheets: readonly LaidSheet[]): PlateHead['packing'] {
  const kinds = sheets.flatMap(({ laid }) => laid.map(({ item }) => item.screen ?? ''));
  const isRuns = (kind: string): boolean =>
    Object.hasOwn(screens, kind) && screens[kind as ScreenKind].packs === 'runs';
  return kinds.every(isRuns) ? 'runs' : 'repeats';
}

/** Composes, finishes, writes and proves one sheet after the other, in the memory of the largest. */
async function makeSheets(
  request: GangRequest,
  { common, making }: Settled,
  { sheets, ground }: GangLayout,
  open: OpenGang | null,
  outlines: Outlines | null,
  context: RunContext,
): Promise<SheetParts[]> {
  const { stored } = request;
  const { dpi, process } = common;
  const depth = depthOf(request.depth, making);
  for (const { raster } of sheets) refuseWithoutRoom({ ...raster, dpi }, PLATE, making);
  const room = openSheetRoom(sheets);
  const bitsFor = openPlates(request.reading, context);
  const made: SheetParts[] = [];
  for (const [index, sheet] of sheets.entries()) {
    const bitmap = room.bitmapFor(sheet);
    const files = open?.sheets[index] ?? [];
    context.progress('drawing', index, sheets.length);
    await composeSheet(bitmap, sheet, ground, bitsFor, context.signal);
    const guide = outlines?.guides[index];
    if (guide) layGuide(bitmap, guide);
    const { widthPx, heightPx } = bitmap;
    const pool = context.poolFor((widthPx * heightPx) / 1000);
    // plates are finished already: what stands in the bitmap is etched, the waste is left alone
    const finish = { etches: 'ink', border: 'kept', mirror: false } as const;
    const drawn = { bitmap, finish, dpi, packing: packingOf(sheets), stored };
    const finished = await finishDrawn(drawn, files, making, pool, context);
    try {
      const analysis = await finished.judge(process, depth);
      const plateFiles = await finished.writeFiles();
      const drawnFiles = outlines
        ? await writeOutlineFiles(
            open?.outlines[index] ?? [],
            outlines.page(index, `${request.name}.sheet${sheet.number}`),
          )
        : [];
      const hashes = proveSheet(bitmap, sheet, files, stored.fire);
      const size = { widthMm: mmFor(widthPx, dpi), heightMm: mmFor(heightPx, dpi) };
      const judged: Judged = { process, dpi, making, size, depth, lineArt: null, widen: null, analysis };
      made.push({
        raster: sheet.raster,
        etched: finished.etched,
        bitsSha256: finished.bitsSha256,
        judged,
        outline: outlines?.sheets[index] ?? null,
        files: [...plateFiles, ...drawnFiles],
        placed: sheet.laid.map(({ item, place, box, label }, i) => ({
          id: item.id,
          name: item.name,
          file: item.plate.file,
          sha256: item.plate.sha256,
          fire: item.plate.fire,
          turned: place.turned,
          mirrored: item.mirrored,
          screen: item.screen,
          bitsSha256: hashes[i]!,
          etched: item.plate.etchedPx / (item.plate.widthPx * item.plate.heightPx),
          report: item.plate.beside === null ? 'none' : item.plate.beside.agrees ? 'agrees' : 'differs',
          box,
          label,
        })),
      });
    } finally {
      finished.drop();
    }
  }
  return made;
}

/** Settings of lines where there are none: `--outline` was not given, and no plate brings one. */
function refuseIdle(asked: GangRequest['outline']): void {
  const idle = (['outlineAs', 'outlineColour'] as const)
    .filter((key) => asked[key] !== undefined)
    .map((key) => `--${flagFor(key)}`);
  if (idle.length === 0) return;
  const why = 'Ganging: no plate brings an outline and --outline is not given';
  const { code, message, hint } = nothingToDo('nothing-to-do', idle, why, 'give --outline');
  throw new EtchError('usage', code, message, hint);
}

/** The outlines of all sheets; null for none. What draws them is loaded only where there are any. */
async function outlinesFor(
  { outline, again }: GangRequest,
  { plates, common, making, sheet }: Settled,
  { sheets }: GangLayout,
): Promise<Outlines | null> {
  if (outline.outline === undefined && !plates.some(({ beside }) => beside?.report.outline)) {
    // a record may hold more than its sheets wanted
    if (!again) refuseIdle(outline);
    return null;
  }
  const { layOutlines, outlineInputs, wantsOutlines } = await import('./outline.ts');
  if (!wantsOutlines(outline, plates)) return null;
  const inputs = outlineInputs(plates);
  return { ...layOutlines(outline, sheets, sheet, common.dpi, common.process, making), inputs };
}

/** Told of sheets made again that are not what their record says. */
const otherBits = ({ expects }: LaidBefore, sheets: readonly SheetParts[]): Caution[] =>
  Array.from({ length: Math.max(expects.bits.length, sheets.length) }, (_, i) =>
    remadeCautions(
      { anyway: expects.anyway, bitsSha256: expects.bits[i] ?? 'none' },
      sheets[i]?.bitsSha256 ?? 'none',
    ),
  ).flat();

/**
 * Lays several finished plates, or copies of one, on as few sheets as they need, in the least time, and writes the
 * sheets with where each plate lies and labels for the backs. Either every file is in place at the end, or none is.
 */
export async function makeGang(request: GangRequest, context: RunContext): Promise<MadeGang> {
  const settled = await settle(request, context);
  const { plates, common, making, sheet } = settled;
  const { dpi, process } = common;
  const facing = processes[process].facing === 'plate';
  const again = request.again ?? null;
  const items = itemsOf(plates, facing, again);
  const layout = layOutGang(items, sheet, dpi, making.machine, again);
  const outlines = await outlinesFor(request, settled, layout);
  const roomy = layout.sheets.map((one, index) => withRoom(one, outlines?.guides[index] ?? null));
  const open = await openGang(request, layout.sheets, outlines, context);
  try {
    const sheets = await makeSheets(request, settled, { ...layout, sheets: roomy }, open, outlines, context);
    const told = gangCautions({
      sheet,
      placed: placedPlates(sheets),
      judged: sheets.map(({ judged }) => judged),
      guessed: common.guessed,
      duplicates: request.settings.duplicates !== undefined,
      outlined: outlines?.sheets ?? [],
    });
    const cautions = [...told, ...(again ? otherBits(again, sheets) : [])];
    const parts = {
      tool: await toolFacts(),
      sheet,
      asked: gangAsked(request),
      arrangement: {
        method: layout.chosen.method,
        compared: layout.chosen.compared,
        leastSheets: layout.leastSheets,
        singlyPassS: plates.reduce(
          (sum, { rows }) => sum + estimatePass(rows, MM_PER_INCH / dpi, making.machine).perPassS,
          0,
        ),
      },
    };
    const refused = refuses(cautions, request.strict);
    if (refused || !open) {
      await open?.set.abandon();
      const bare = sheets.map((one) => ({ ...one, files: [] }));
      return { report: buildGangReport({ ...parts, sheets: bare }, cautions), refused, written: [] };
    }
    const report = buildGangReport({ ...parts, sheets }, cautions);
    await open.labels.write([textOf(labelSheet(report, request.name))]);
    await open.report.write([textOf(report)]);
    context.signal.throwIfAborted();
    await open.set.commit();
    const written = report.sheets.flatMap(({ files }) =>
      files.map(({ name }) => join(request.folder!, name)),
    );
    return { report, refused: false, written: [...written, ...open.paths] };
  } catch (error) {
    await open?.set.abandon();
    throw error;
  }
}
