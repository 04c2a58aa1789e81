import { join } from 'node:path';
import { composeOrientation } from '../../core/geometry-orientation.ts';
import type { AnyScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import type { FileSet } from '../../io/atomic.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { Picture } from '../../io/read/decode.ts';
import { clearingOf } from '../../job/clearing.ts';
import { depthOf } from '../../job/hold-limits.ts';
import type { Making } from '../../job/making.ts';
import { layPlate, stretchOf } from '../../job/plan.ts';
import { buildReport } from '../../report/build.ts';
import { refuses } from '../../report/cautions/index.ts';
import { depthCleared } from '../../report/clearing.ts';
import type { Judged } from '../../report/judged.ts';
import type { Report } from '../../report/schema.ts';
import { type OnSheet, type Seen, writeLooks } from '../looking/looking.ts';
import type { ProofRequest } from '../looking/proof.ts';
import { writeOutlineFiles } from '../outline/page.ts';
import type { Pool } from '../pool.ts';
import { toolFacts } from '../tool.ts';
import { askedSha256 } from './asked.ts';
import { cautionsOf } from './cautioned.ts';
import { type MadeClearing, makeClearing } from './clearing.ts';
import type { RunContext } from './context.ts';
import { type Decided, type Decision, originsOf } from './decide.ts';
import { makeAny } from './make-plate.ts';
import { type OpenInput, turnedSize } from './open-input.ts';
import { stripName } from './open-plate.ts';
import { planWhole } from './plan-plate.ts';
import { plateName } from './plate-file.ts';
import type { OpenPlate, Prepared, PrepareRequest } from './request.ts';
import { bandRowsFor, type JudgeSetup, newPlateId } from './setup.ts';
import { type KnownTones, toneCurves } from './tone-curves.ts';
import type { GreySource } from './tone-source.ts';

/** A picture that is decoded, and all that is ready for its plate. */
export interface ReadyPlate {
  readonly input: OpenInput;
  readonly picture: Picture;
  readonly decision: Decision;
  readonly set: FileSet;
  readonly open: OpenPlate;
  readonly pool: Pool;
}

/** Makes the plate of a decoded picture, which it closes, and puts all files in place, or none where a caution forbids it. */
export async function makeDecoded(
  request: PrepareRequest,
  { input, picture, decision, set, open, pool }: ReadyPlate,
  context: RunContext,
): Promise<Prepared> {
  const { job: wanted, making, output } = request;
  const { signal, progress } = context;
  const clearing = clearingOf(wanted, making);
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
    const placed = { facts: picture.facts, size, source };
    const { plan, strip, outline } = await planWhole(request, decided, input, placed, signal);
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
      const told = { setup: made.setup, mirrored, job, making, clearing, stored: request.stored };
      const files = { fineFile: open.files[0]?.name ?? null, open: open.clearing };
      clears = await makeClearing({ ...told, ...files }, judged.time, pool, context);
    }
    const analysis = clears ? { ...judged, time: clears.time, clearing: clears.cleared } : judged;
    const depth = clears ? depthCleared(clears.cleared) : depthOf(job, making);
    const drawn = outline?.finish(made.setup) ?? null;
    const judgedAs: Judged = {
      process: job.process,
      dpi: job.dpi,
      size: plan.layout,
      making,
      depth,
      analysis,
      lineArt: def.forLineArt,
      widen: def.widen ?? null,
    };
    const cautions = await cautionsOf(request, {
      decided,
      picture: placed,
      plan,
      made,
      judged: judgedAs,
      outline: drawn?.facts ?? null,
    });
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
    const sheet = {
      name: request.name,
      id: null,
      thicknessMm: making.sheet.thicknessMm,
      tone: def.forLineArt ? {} : toneCurves(picture.facts, plan, knownTones(decided, def, making)),
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
      writeAll,
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
}

/** What is known of the way of a plate's tones, for its sheet. */
function knownTones({ job, built, measured }: Decided, def: AnyScreenDef, making: Making): KnownTones {
  const allowsForSpot = job.compensate && making.spotKnown;
  return {
    spot: measured ? null : built.curve,
    measured: measured?.knots ?? null,
    arrives: !measured && def.draws === 'bits' && def.compensates === 'itself' && allowsForSpot,
  };
}

const bitsIn = ({ bitmap, spot }: JudgeSetup): Pick<ProofRequest, 'bitmap' | 'spot'> => ({ bitmap, spot });

/** As it stands in a file: indented, so that two can be compared line by line. */
const jsonText = (value: Report | TestPlateLayout): string => `${JSON.stringify(value, null, 2)}\n`;

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
