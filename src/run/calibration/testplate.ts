import { join } from 'node:path';
import type { Bitmap } from '../../core/bitmap.ts';
import { EtchError } from '../../core/errors.ts';
import { pxFor } from '../../core/geometry.ts';
import type { Finish } from '../../core/plate.ts';
import { processes } from '../../core/processes/index.ts';
import type { AnyScreenDef } from '../../core/screens/contract.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import { arrangeTestPlate } from '../../core/testplate/arrange.ts';
import { type TintScreen, testPlateInk } from '../../core/testplate/draw.ts';
import { ladderPasses, passBits } from '../../core/testplate/ladder.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import { type FileSet, openFileSet, type Slot } from '../../io/atomic.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import { sweepStale } from '../../io/stale.ts';
import { depthOf } from '../../job/hold-limits.ts';
import { screensWithAll } from '../../job/layers.ts';
import type { Making } from '../../job/making.ts';
import type { Job, WantedJob } from '../../job/schema.ts';
import { allowedFor, screenPlace } from '../../job/screen-place.ts';
import { buildTestPlateReport } from '../../report/calibration/testplate.ts';
import type { TestPlateReport } from '../../report/calibration/testplate-schema.ts';
import { testPlateSheet } from '../../report/calibration/testplate-sheet.ts';
import { refuses } from '../../report/cautions/index.ts';
import { makingCautions } from '../../report/cautions/making.ts';
import { remadeCautions } from '../../report/cautions/remade.ts';
import type { Caution, Report } from '../../report/schema.ts';
import { timeOf } from '../../report/sections.ts';
import { buildScreen } from '../plate/build-screen.ts';
import type { RunContext } from '../plate/context.ts';
import { jobWith } from '../plate/decide.ts';
import { type FinishedPlate, finishDrawn } from '../plate/drawn-plate.ts';
import { type OpenFile, openPlateFiles } from '../plate/plate-file.ts';
import { toolFacts } from '../tool.ts';

export interface TestPlateRequest {
  /** Stem of the file names. */
  readonly name: string;
  /** Both sides given. */
  readonly job: WantedJob & { readonly widthMm: number; readonly heightMm: number };
  readonly making: Making;
  readonly formats: readonly FormatKind[];
  readonly stored: Pick<PlateHead, 'fire' | 'tiff'>;
  /** Null to write nothing. */
  readonly folder: string | null;
  readonly overwrite: boolean;
  /** Files that must never be written over. */
  readonly protect: readonly string[];
  readonly strict: boolean;
  /** Whether to give further passes to areas of their own, each pass in a file of its own. */
  readonly passLadder: boolean;
  /** For a plate made again: the bits that must come of each of its plates, and whether others are let through. */
  readonly expects?: { readonly bits: readonly string[]; readonly anyway: boolean };
}

export interface MadeTestPlate {
  readonly layout: TestPlateLayout;
  readonly report: TestPlateReport;
  readonly files: Report['files'];
  readonly etched: number;
  readonly time: Report['time'];
  readonly cautions: readonly Caution[];
  /** True when a caution forbids the plate; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly written: readonly string[];
}

const LADDER = [1, 2, 3, 4];

/** The screen asked for, else what the process takes for tone among those that have the settings given. */
function screenFor(job: WantedJob): ScreenKind {
  if (job.screen !== null) return job.screen;
  const allowed = screensWithAll(Object.keys(job.screenParams));
  const usual = processes[job.process].screenFor.tone.screen as ScreenKind;
  return allowed.includes(usual) ? usual : allowed[0]!;
}

/** The screen of the tints, built for the whole range of tones: a wedge knows no cap. */
function tintScreen(job: Job, making: Making): TintScreen {
  // the registry's entries have parameter types of their own; the job has checked them
  const def = screens[job.screen] as unknown as AnyScreenDef;
  if (def.draws !== 'bits')
    throw new EtchError(
      'usage',
      'testplate-needs-marks',
      `Drawing the tints of the test plate: the screen ${job.screen} leaves tones as they are and makes no marks`,
      'Name another --screen, or leave it out.',
    );
  const place = screenPlace({ ...job, capPercent: 100, floorPercent: 0 }, making);
  const { tables, toneTable } = buildScreen({
    kind: job.screen,
    params: job.screenParams,
    place,
    measured: null,
  });
  return { def, params: job.screenParams, place, tables, toneTable };
}

/** One plate of the set, with its place among the files. */
interface Drawing {
  readonly stem: string;
  readonly etches: Finish['etches'];
  readonly border: Finish['border'];
  draw(): Bitmap;
}

function drawingsOf(name: string, layout: TestPlateLayout, screen: TintScreen): Drawing[] {
  const { etches, border } = processes[layout.process];
  return [
    { stem: name, etches, border, draw: () => testPlateInk(layout, screen, true) },
    // of a further pass what is drawn is what is etched, and nothing else is touched
    ...ladderPasses(layout).map(
      (pass): Drawing => ({
        stem: `${name}-pass${pass.pass}`,
        etches: 'ink',
        border: 'kept',
        draw: () => passBits(layout, pass, true),
      }),
    ),
  ];
}

function layOut({ job: wanted, making, passLadder }: TestPlateRequest, job: Job) {
  return arrangeTestPlate({
    process: job.process,
    widthMm: wanted.widthMm,
    heightMm: wanted.heightMm,
    dpi: job.dpi,
    ...allowedFor(job, making),
    screen: { kind: job.screen, params: { ...job.screenParams } },
    capShare: job.capPercent / 100,
    passes: passLadder ? LADDER : [],
  });
}

/**
 * Makes a test plate: lays it out, draws it, and writes it with the guarantees of any plate, together with its layout and
 * a sheet that says how to print it.
 * Either every file is in place at the end, or none is. Whether it holds is not judged: that is what it is printed for.
 */
export async function makeTestPlate(request: TestPlateRequest, context: RunContext): Promise<MadeTestPlate> {
  const { making, stored, passLadder } = request;
  const job = jobWith(request.job, making, screenFor(request.job));
  const screen = tintScreen(job, making);
  const layout = layOut(request, job);
  const { dpi, widthMm, heightMm } = layout;
  const pool = context.poolFor((pxFor(widthMm, dpi) * pxFor(heightMm, dpi)) / 1000);
  const set = openFileSet({ owner: context.owner, protect: request.protect, overwrite: request.overwrite });
  try {
    const open = await openFiles(request, drawingsOf(request.name, layout, screen), set, context);
    const files: Report['files'] = [];
    const plates: TestPlateReport['plates'] = [];
    let judged: Judgement | null = null;
    const tool = await toolFacts();
    const told = (): TestPlateReport =>
      buildTestPlateReport({ tool, layout, job, making, passLadder, ...judged!, plates, files });
    for (const { drawing, files: own } of open.drawings) {
      context.signal.throwIfAborted();
      context.progress('screening', plates.length, open.drawings.length);
      const finish = { etches: drawing.etches, border: drawing.border, mirror: job.facing === 'plate' };
      const packing = screen.def.packs;
      const drawn = { bitmap: drawing.draw(), finish, dpi, packing, stored };
      const plate = await finishDrawn(drawn, own, making, pool, context);
      try {
        judged ??= await judge(plate, job, making, layout);
        judged = { ...judged, cautions: [...judged.cautions, ...otherBits(request, plates.length, plate)] };
        plates.push({ name: drawing.stem, bitsSha256: plate.bitsSha256 });
        if (refuses(judged.cautions, request.strict)) {
          await set.abandon();
          files.length = 0;
          return { layout, report: told(), files, ...judged, refused: true, written: [] };
        }
        files.push(...(await plate.writeFiles()));
      } finally {
        plate.drop();
      }
    }
    const report = told();
    const pages = [textOf(layout), testPlateSheet(layout, request.name), textOf(report)];
    for (const [index, { slot }] of open.pages.entries())
      await slot.write([new TextEncoder().encode(pages[index])]);
    context.signal.throwIfAborted();
    await set.commit();
    const written = [
      ...files.map((file) => join(request.folder ?? '', file.name)),
      ...open.pages.map(({ path }) => path),
    ];
    return { layout, report, files, ...judged!, refused: false, written };
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

const textOf = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

/** Opens all files before any work: of each plate, then the layout, the sheet and the report. */
async function openFiles(
  { folder, name, formats }: TestPlateRequest,
  drawings: readonly Drawing[],
  set: FileSet,
  { owner }: RunContext,
) {
  if (folder === null) return { drawings: drawings.map((drawing) => ({ drawing, files: [] })), pages: [] };
  await sweepStale(folder, owner);
  const opened: { readonly drawing: Drawing; readonly files: readonly OpenFile[] }[] = [];
  for (const drawing of drawings)
    opened.push({ drawing, files: await openPlateFiles(set, folder, drawing.stem, formats) });
  const pages: { readonly path: string; readonly slot: Slot }[] = [];
  for (const ending of ['testplate.json', 'jobsheet.html', 'report.json']) {
    const path = join(folder, `${name}.${ending}`);
    pages.push({ path, slot: await set.add(path) });
  }
  return { drawings: opened, pages };
}

/** Told of a plate made again that is not what its record says. */
function otherBits({ expects }: TestPlateRequest, index: number, { bitsSha256 }: FinishedPlate): Caution[] {
  const was = expects?.bits[index];
  return expects && was !== undefined ? remadeCautions({ ...expects, bitsSha256: was }, bitsSha256) : [];
}

type Judgement = Pick<MadeTestPlate, 'etched' | 'time' | 'cautions'>;

async function judge(
  plate: FinishedPlate,
  job: Job,
  making: Making,
  { process, dpi, widthMm, heightMm }: TestPlateLayout,
): Promise<Judgement> {
  const depth = depthOf(job, making);
  const size = { widthMm, heightMm };
  const analysis = await plate.judge(process, depth);
  const parts = { process, dpi, making, size, depth, lineArt: false, widen: null, analysis };
  return { etched: plate.etched, time: timeOf(parts), cautions: makingCautions(parts) };
}
