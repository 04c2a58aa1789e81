import { dirname, join } from 'node:path';
import type { Bitmap } from '../../core/bitmap.ts';
import type { PictureSize, PlateLayout } from '../../core/geometry.ts';
import { composeOrientation } from '../../core/geometry-orientation.ts';
import type { Inset } from '../../core/plate.ts';
import type { AnyScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import { type FileSet, openFileSet, type Slot } from '../../io/atomic.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import { decodePicture, type Picture } from '../../io/read/decode.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import { type Inspection, inspectPicture } from '../../io/read/inspect.ts';
import type { ReadOptions } from '../../io/read/reader.ts';
import { sweepStale } from '../../io/stale.ts';
import { clearingOf } from '../../job/clearing.ts';
import { depthOf } from '../../job/hold-limits.ts';
import type { MeasuredCurve } from '../../job/measured-curve.ts';
import { outlineWish } from '../../job/outline.ts';
import { layPlate, planPlate, stretchOf } from '../../job/plan.ts';
import { buildReport } from '../../report/build.ts';
import { curveCautions } from '../../report/cautions/curve.ts';
import { caution, plateCautions, refuses } from '../../report/cautions/index.ts';
import { makingCautions } from '../../report/cautions/making.ts';
import { outlineCautions } from '../../report/cautions/outline.ts';
import { reachCautions } from '../../report/cautions/reach.ts';
import { remadeCautions } from '../../report/cautions/remade.ts';
import { screenedCautions } from '../../report/cautions/screened.ts';
import { depthCleared } from '../../report/clearing.ts';
import type { Caution, Report } from '../../report/schema.ts';
import { type LookFile, type OnSheet, openLooks, type Seen, writeLooks } from '../looking/looking.ts';
import type { ProofRequest } from '../looking/proof.ts';
import { type OutlineFile, openOutlineFiles, writeOutlineFiles } from '../outline/page.ts';
import { toolFacts } from '../tool.ts';
import { type Asked, askedSha256 } from './asked.ts';
import { type MadeClearing, makeClearing, openClearingFiles } from './clearing.ts';
import type { RunContext } from './context.ts';
import { controlStrip } from './control-strip.ts';
import { openDecision, originsOf } from './decide.ts';
import { makeAny } from './make-plate.ts';
import { type OpenFile, openPlateFiles, plateName } from './plate-file.ts';
import { PLATE, refuseWithoutRoom } from './room.ts';
import { bandRowsFor, type JudgeSetup, newPlateId } from './setup.ts';
import { toneCurves } from './tone-curves.ts';
import type { GreySource } from './tone-source.ts';

export type { RunContext } from './context.ts';

/** Where a plate goes: files in a folder, one file for a stream, or nowhere. */
export type Output =
  | {
      readonly to: 'files';
      readonly folder: string;
      /** Null when no report file is wanted. */
      readonly reportPath: string | null;
      readonly overwrite: boolean;
      /** Files that must never be written over: the picture, the job file. */
      readonly protect: readonly string[];
    }
  | {
      readonly to: 'stream';
      readonly folder: string;
      readonly reportPath: string | null;
      readonly overwrite: boolean;
      readonly protect: readonly string[];
    }
  | { readonly to: 'nowhere' };

/** A picture that is decoded or drawn already; whoever made it closes it. */
export interface DrawnPicture {
  /** What messages and reports call it. */
  readonly name: string;
  readonly picture: Pick<Picture, 'facts' | 'scratch'>;
  /** The same picture as ink, a bit for each pixel of the print, where it has but two levels; null where it has more. */
  readonly ink: Bitmap | null;
  /** The file that it came from, as the report tells of it. */
  readonly told: PictureFacts;
}

export interface PrepareRequest extends Asked {
  readonly input: { readonly path: string; readonly name: string } | DrawnPicture;
  readonly output: Output;
  readonly strict: boolean;
  /** For a plate made again: the bits that must come of it, and whether others are let through with a caution. */
  readonly expects?: { readonly bitsSha256: string; readonly anyway: boolean };
  /** The picture as its list names it, from the folder of that. */
  readonly listed?: string;
  /** For a plate of a set: its files, opened among those of the set, which puts all of them in place or none. */
  readonly within?: OpenPlate;
  /** For a plate of a set: what stands in its border. */
  readonly waste?: Waste;
  /** True where the bits are wanted afterwards. */
  readonly keepsBits?: boolean;
  /** What other plates have etched of the same block before, as this one lies: what is left after all must hold. */
  readonly etchedBefore?: Bitmap;
}

/** The border of a plate of a set. */
export interface Waste {
  /** Drawn into it, print-reading. */
  readonly insets: readonly Inset[];
  /** True where an earlier stage of the same block has cut the border: then this one leaves it alone. */
  readonly isCut: boolean;
}

/** A plate of a picture file. */
export interface FileRequest extends PrepareRequest {
  readonly input: { readonly path: string; readonly name: string };
}

export interface Prepared {
  readonly report: Report;
  /** True when a caution forbids the plate; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly written: readonly string[];
  /** The one plate to be streamed, in the scratch folder. */
  readonly streamPath: string | null;
  /** The measured curve that it went through; null for none. */
  readonly measured: MeasuredCurve | null;
  /** The finished plate as it prints, where its bits are kept; null for a plate of tone. */
  readonly printed: Omit<ProofRequest, 'settings'> | null;
}

/** The files of a plate, open under temporary names. */
export interface OpenPlate {
  readonly files: readonly OpenFile[];
  readonly clearing: readonly OpenFile[][];
  readonly outline: readonly OutlineFile[];
  readonly looks: readonly LookFile[];
  readonly strip: Slot | null;
  readonly report: Slot | null;
}

/** Opens all files of a plate before any work, so that a name that cannot be written is told at once. */
export async function openPlate(
  request: Pick<PrepareRequest, 'output' | 'name' | 'formats' | 'looking' | 'job' | 'making'>,
  set: FileSet,
  { scratchFolder, owner }: RunContext,
): Promise<OpenPlate> {
  const { output, name } = request;
  if (output.to === 'nowhere')
    return { files: [], clearing: [], outline: [], looks: [], strip: null, report: null };
  const clearing = clearingOf(request.job, request.making);
  const folder = output.to === 'files' ? output.folder : scratchFolder;
  const reportFolder = output.reportPath === null ? folder : dirname(output.reportPath);
  for (const place of new Set([folder, reportFolder])) await sweepStale(place, owner);
  const files = await openPlateFiles(set, folder, name, request.formats);
  const clears = await openClearingFiles(set, folder, name, request.formats, clearing);
  const isDrawn = request.job.outline !== undefined && output.to === 'files';
  const outline = isDrawn ? await openOutlineFiles(set, folder, name) : [];
  const looks = await openLooks(set, folder, name, request.looking);
  const hasStrip = request.job.controlStrip && output.to === 'files';
  const strip = hasStrip ? await set.add(join(folder, stripName(name))) : null;
  const report = output.reportPath === null ? null : await set.add(output.reportPath);
  return { files, clearing: clears, outline, looks, strip, report };
}

/** The picture as it lies on the plate. */
export const turnedSize = (facts: PictureFacts, rotateDeg: number): PictureSize => {
  const upright = {
    widthPx: facts.uprightWidthPx,
    heightPx: facts.uprightHeightPx,
    ppiX: facts.ppiX,
    ppiY: facts.ppiY,
  };
  return rotateDeg % 180 === 0
    ? upright
    : { widthPx: upright.heightPx, heightPx: upright.widthPx, ppiX: upright.ppiY, ppiY: upright.ppiX };
};

/** True for drawings with a pixel for each of the plate's: to scan those larger gives nothing. */
export const drawnAtFull = (
  { format }: Pick<PictureFacts, 'format'>,
  { sourcePpi }: PlateLayout,
  dpi: number,
): boolean => format === 'svg' && sourcePpi > dpi - 1;

/** A drawing is best drawn with just the pixels that the plate has for it. */
export function drawnFor(layout: PlateLayout, rotateDeg: number): { drawingWidthPx: number } {
  const along = rotateDeg % 180 === 0 ? layout.x : layout.y;
  return { drawingWidthPx: Math.max(1, Math.round(along.sourcePx / along.stepPx)) };
}

const inputCautions = (facts: PictureFacts): Caution[] =>
  facts.cautions.map(({ code, severity, text, cure }) =>
    caution({ code, severity, text: text.replace(/\.$/, ''), cure }),
  );

/** What is known of a picture before it is decoded, and how it is. */
interface OpenInput {
  readonly facts: PictureFacts;
  /** Null for a picture that is decoded already. */
  readonly inspection: Inspection | null;
  readonly reading: ReadOptions;
  decode(expected: PlateLayout): Promise<Picture>;
}

async function openInput(
  { input, job }: PrepareRequest,
  { scratchFolder, signal }: RunContext,
): Promise<OpenInput> {
  const reading = { page: job.page, maxPixels: job.maxPixels, scratchDir: scratchFolder };
  if ('picture' in input)
    return {
      facts: input.picture.facts,
      inspection: null,
      reading,
      decode: async () => ({ ...input.picture, close: () => undefined }),
    };
  const inspection = await inspectPicture(input, reading, signal);
  return {
    facts: inspection.facts,
    inspection,
    reading,
    decode: (expected) => decodePicture(inspection, drawnFor(expected, job.rotateDeg), signal),
  };
}

/**
 * Makes one plate from one picture: reads, plans, screens, finishes, writes, reads back. Either every file of the
 * plate is in place at the end, or none is and nothing that was there before has changed.
 */
export async function preparePlate(request: PrepareRequest, context: RunContext): Promise<Prepared> {
  const { job: wanted, making, curves, output } = request;
  const { signal, progress } = context;
  const input = await openInput(request, context);
  const expected = layPlate(wanted, turnedSize(input.facts, wanted.rotateDeg));
  const { widthPx, heightPx } = expected;
  // tone exists in bands only
  if (wanted.screen === null || screens[wanted.screen].draws === 'bits')
    refuseWithoutRoom({ widthPx, heightPx, dpi: wanted.dpi }, PLATE, making);
  const pool = context.poolFor((widthPx * heightPx) / 1000);
  const set = openFileSet({
    owner: context.owner,
    protect: output.to === 'nowhere' ? [] : output.protect,
    overwrite: output.to !== 'nowhere' && output.overwrite,
  });
  try {
    const clearing = clearingOf(wanted, making);
    const open = request.within ?? (await openPlate(request, set, context));
    signal.throwIfAborted();
    progress('reading', 0, 1);
    const decision = openDecision(wanted, making, curves, pool, context.builtScreens);
    const picture = await input.decode(expected);
    const id = newPlateId();
    let clears: MadeClearing | null = null;
    try {
      // a drawing has its pixels only now
      const size = turnedSize(picture.facts, wanted.rotateDeg);
      const source: GreySource = {
        scratch: picture.scratch,
        codes: picture.facts,
        orientation: composeOrientation(picture.facts.orientation, wanted.rotateDeg),
      };
      const ink = 'ink' in request.input ? request.input.ink : null;
      const decided = await decision.forPicture(source, layPlate(wanted, size), size.ppiX, ink !== null);
      const { job, built, measured, why } = decided;
      const planned = planPlate(job, making, size, decided.descreenPerPx, measured?.knots);
      const strip = job.controlStrip ? controlStrip(job, making, planned, built) : null;
      const wish = outlineWish(job, making);
      const outline =
        wish &&
        // here and not above: most plates have none, and it brings its own geometry
        (await (
          await import('../outline/outline.ts')
        ).planOutline(
          wish,
          job,
          making,
          planned,
          {
            inspection: input.inspection,
            reading: input.reading,
            facts: picture.facts,
            source,
            layout: layPlate(wanted, size),
            dpi: job.dpi,
            toleranceMm: wish.toleranceMm,
            mask: request.outlineMask,
          },
          signal,
        ));
      const plan = {
        ...planned,
        finish: {
          ...planned.finish,
          ...(request.waste?.isCut ? { border: 'kept' as const } : {}),
          ...(strip || request.waste
            ? { waste: [...(strip?.insets ?? []), ...(request.waste?.insets ?? [])] }
            : {}),
          ...(outline?.guide ? { guide: outline.guide } : {}),
        },
      };
      const head: PlateHead = {
        widthPx: plan.layout.widthPx,
        heightPx: plan.layout.heightPx,
        dpi: job.dpi,
        ...request.stored,
        packing: screens[job.screen].packs,
        bandRows: bandRowsFor[screens[job.screen].draws],
      };
      const before = request.etchedBefore ?? null;
      const made = await makeAny(
        id,
        job,
        making,
        plan,
        built,
        source,
        { ink, before },
        head,
        open.files,
        pool,
        context,
      );
      const def = screens[job.screen] as unknown as AnyScreenDef;
      progress('judging', 0, 1);
      const finePasses = clearing?.plan.finePasses ?? depthOf(job, making).passes;
      const judged = await made.judge(finePasses);
      if (clearing && made.setup) {
        const mirrored = plan.finish.mirror;
        const fineFile = open.files[0]?.name ?? null;
        const { setup } = made;
        const parts = {
          setup,
          mirrored,
          job,
          making,
          clearing,
          stored: request.stored,
          fineFile,
          open: open.clearing,
        };
        clears = await makeClearing(parts, judged.time, pool, context);
      }
      const analysis = clears ? { ...judged, time: clears.time, clearing: clears.cleared } : judged;
      const depth = clears ? depthCleared(clears.cleared) : depthOf(job, making);
      const findings = {
        etched: made.etchedPx / (head.widthPx * head.heightPx),
        thinLines: made.thinLines,
        lineArt: def.forLineArt,
        ofSet: request.within !== undefined,
        drawn: ink !== null || drawnAtFull(picture.facts, plan.layout, job.dpi),
      };
      const drawn = outline?.finish(made.setup) ?? null;
      const seenKind = await decided.picture;
      const cautions = [
        ...inputCautions(picture.facts),
        ...(seenKind
          ? screenedCautions(
              { ...decided, picture: seenKind, asked: job.descreen, screen: job.screen },
              size.ppiX ?? plan.layout.sourcePpi,
            )
          : []),
        ...plateCautions(job, plan, findings),
        ...reachCautions(job, making, built.achieved, measured !== null),
        ...curveCautions(job, making, measured, curves),
        ...(request.expects ? remadeCautions(request.expects, made.bitsSha256) : []),
        ...(drawn ? outlineCautions(drawn.facts, making) : []),
        ...makingCautions({
          process: job.process,
          dpi: job.dpi,
          size: plan.layout,
          making,
          depth,
          analysis,
          lineArt: def.forLineArt,
          widen: def.widen ?? null,
        }),
      ];
      const refused = refuses(cautions, request.strict);
      const facts = 'told' in request.input ? request.input.told : picture.facts;
      const origins = originsOf(request.origins, wanted, job, why);
      const screened = { achieved: built.achieved, curve: built.curve, measured, why };
      const parts = {
        job,
        making,
        depth,
        plan,
        screened,
        made,
        analysis,
        facts,
        listed: request.listed ?? null,
        cautions,
        origins,
        askedSha256: askedSha256(request),
        outline: drawn?.facts ?? null,
      };
      const tool = await toolFacts();
      const print = {
        process: job.process,
        mirrored: plan.finish.mirror,
        maxPoolMm: making.sheet.limits.maxPoolMm?.mm ?? null,
        stretch: stretchOf(job),
      };
      const printed = request.keepsBits && made.setup ? { ...print, ...bitsIn(made.setup) } : null;
      if (refused || output.to === 'nowhere') {
        await set.abandon();
        const report = buildReport({ ...parts, tool, files: [] });
        return { report, refused, written: [], streamPath: null, measured, printed };
      }
      const seen: Seen & OnSheet = {
        setup: made.setup,
        source,
        print,
        checks: analysis.hold ?? [],
        cautions,
        fire: head.fire,
      };
      const allowsForSpot = job.compensate && making.spotKnown;
      const sheet = {
        name: request.name,
        id: null,
        thicknessMm: making.sheet.thicknessMm,
        tone: def.forLineArt
          ? {}
          : toneCurves(picture.facts, plan, {
              spot: measured ? null : built.curve,
              measured: measured?.knots ?? null,
              arrives: !measured && def.draws === 'bits' && def.compensates === 'itself' && allowsForSpot,
            }),
      };
      const writeAll = async (): Promise<Report['files']> => [
        ...(await made.writeFiles()),
        ...((await clears?.writeFiles()) ?? []),
        ...(drawn ? await writeOutlineFiles(open.outline, drawn.page(request.name)) : []),
      ];
      const report = await writeLooks(
        open.looks,
        seen,
        request.looking,
        sheet,
        plan.layout,
        writeAll(),
        (files) => buildReport({ ...parts, tool, files }),
        pool,
        signal,
        progress,
      );
      if (strip && open.strip) await open.strip.write([new TextEncoder().encode(jsonText(strip.layout))]);
      if (open.report) await open.report.write([new TextEncoder().encode(jsonText(report))]);
      signal.throwIfAborted();
      await set.commit();
      return { ...wrote(request, context, report, open.report !== null), measured, printed };
    } finally {
      clears?.drop();
      pool.drop(id);
      picture.close();
    }
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

const bitsIn = ({ bitmap, spot }: JudgeSetup): Pick<ProofRequest, 'bitmap' | 'spot'> => ({ bitmap, spot });

/** As it stands in a file: indented, so that two can be compared line by line. */
const jsonText = (value: Report | TestPlateLayout): string => `${JSON.stringify(value, null, 2)}\n`;

/** Where a control strip lies on a plate, for `calibrate`. */
export const stripName = (name: string): string => `${name}.strip.json`;

function wrote(
  request: PrepareRequest,
  context: RunContext,
  report: Report,
  withReport: boolean,
): Omit<Prepared, 'measured' | 'printed'> {
  const { output, name } = request;
  if (output.to === 'nowhere') throw new Error('nothing is written nowhere');
  const reports = withReport && output.reportPath !== null ? [output.reportPath] : [];
  if (output.to === 'stream') {
    const [only] = request.formats;
    const streamPath = only ? join(context.scratchFolder, plateName(name, only)) : null;
    return { report, refused: false, written: reports, streamPath };
  }
  const files = report.files.map((file) => join(output.folder, file.name));
  const strips = request.job.controlStrip ? [join(output.folder, stripName(name))] : [];
  return { report, refused: false, written: [...files, ...strips, ...reports], streamPath: null };
}
