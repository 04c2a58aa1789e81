import { join } from 'node:path';
import { type FileSet, openFileSet, type Slot } from '../io/atomic.ts';
import { sweepStale } from '../io/stale.ts';
import { inkOf } from '../job/inks.ts';
import { caution, lowResolution, refuses } from '../report/cautions.ts';
import { plainSha256 } from '../report/job-hash.ts';
import { remadeCautions } from '../report/remade-cautions.ts';
import type { Caution } from '../report/schema.ts';
import { beatsOf, sheetsOf, totalsOf } from '../report/set.ts';
import { beatCautions, findingCautions, oneWayCautions } from '../report/set-cautions.ts';
import { registerCautions } from '../report/set-register.ts';
import type { SetReport } from '../report/set-schema.ts';
import { setSheet } from '../report/set-sheet.ts';
import {
  type OpenPlate,
  openPlate,
  type Prepared,
  type PrepareRequest,
  preparePlate,
  type RunContext,
} from './prepare.ts';
import { setAsked, setSha256 } from './separate-asked.ts';
import { type Division, divide } from './separate-divide.ts';
import { plateJobOf } from './separate-jobs.ts';
import { openLooks, writeProofs } from './separate-looks.ts';
import { toleranceOf } from './separate-register.ts';
import type { PlateJob, SeparateRequest } from './separate-request.ts';
import { toolFacts } from './tool.ts';

export interface MadeSet {
  readonly report: SetReport;
  /** True where the set, or one of its plates, is forbidden; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly written: readonly string[];
}

const setName = (name: string): string => `${name}.set.json`;
const encoded = (text: string): Uint8Array[] => [new TextEncoder().encode(text)];

/** The request for one plate of a set; its files lie among those of the set. */
function requestFor(
  request: SeparateRequest,
  division: Division,
  index: number,
  { job, origins, making, curves }: PlateJob,
): Omit<PrepareRequest, 'input' | 'within'> {
  const { name, folder, looking, expects } = request;
  const ink = division.inks[index]!;
  const stem = `${name}.${ink.name}`;
  const rest = { overwrite: request.overwrite, protect: request.protect };
  return {
    name: stem,
    job,
    origins,
    making,
    curves,
    formats: request.formats,
    stored: request.stored,
    output:
      folder === null
        ? { to: 'nowhere' }
        : { to: 'files', folder, reportPath: join(folder, `${stem}.report.json`), ...rest },
    // the proof is one of all plates together
    looking: { ...looking, proof: false, inkColour: ink.colour },
    outlineMask: null,
    ofSet: plainSha256(setAsked(request)),
    ...(expects
      ? { expects: { anyway: expects.anyway, bitsSha256: expects.bits.get(ink.name) ?? 'none' } }
      : {}),
    strict: request.strict,
    keepsBits: looking.proof,
  };
}

type PlateRequest = ReturnType<typeof requestFor>;

/** Opens every file of the set before the first plate is made. */
async function openAll(
  request: SeparateRequest,
  plates: readonly PlateRequest[],
  set: FileSet,
  context: RunContext,
) {
  const opened: OpenPlate[] = [];
  for (const plate of plates) opened.push(await openPlate(plate, set, context));
  return { opened, looks: await openLooks(request, plates.length, set) };
}

async function makePlates(
  division: Division,
  plates: readonly PlateRequest[],
  opened: readonly OpenPlate[],
  context: RunContext,
): Promise<Prepared[]> {
  const made: Prepared[] = [];
  for (const [index, plate] of plates.entries()) {
    const source = await division.open(index);
    try {
      made.push(await preparePlate({ ...plate, input: source.input, within: opened[index]! }, context));
    } finally {
      source.close();
    }
  }
  return made;
}

function reportOf(
  request: SeparateRequest,
  division: Division,
  made: readonly Prepared[],
  tool: SetReport['tool'],
): SetReport {
  const { method, settings, looking } = request;
  const { inks, layout, findings, facts } = division;
  const [first] = made;
  const oneBlock = method?.def.oneBlock ?? false;
  const plates = made.map(({ report }, index) => ({
    number: index + 1,
    name: inks[index]!.name,
    ink: { colour: inks[index]!.colour, opaque: inks[index]!.opaque },
    report,
  }));
  const sheets = sheetsOf(settings.edition, settings.editionProofs, settings.lossPercent, plates.length);
  const beats = beatsOf(plates);
  const register = toleranceOf(division, request.base.job.dpi);
  const { pitchMm, dpi, widthPx, heightPx } = first!.report.plate;
  const cautions: Caution[] = [
    ...(facts?.cautions ?? []).map(({ code, severity, text, cure }) =>
      caution({ code, severity, text: text.replace(/\.$/, ''), cure }),
    ),
    ...(division.draws === 'areas' && facts ? lowResolution({ layout }, true) : []),
    ...findingCautions(
      findings,
      plates.map(({ name }) => name),
      pitchMm,
    ),
    ...beatCautions(beats),
    ...registerCautions(register),
    ...(oneBlock ? oneWayCautions(plates, sheets) : []),
    ...missingPlates(request, plates),
  ];
  const asked = setAsked(request);
  const { widthMm, heightMm, box } = layout;
  return {
    schema: 'etchwright/set',
    version: 1,
    tool,
    name: request.name,
    separation: method && {
      kind: method.def.kind,
      settings: { ...method.params, smallestMm: settings.smallestMm },
      oneBlock,
    },
    asked,
    askedSha256: setSha256({ asked, plates }),
    canvas: { widthMm, heightMm, widthPx, heightPx, dpi, pitchMm, box: { ...box } },
    paper: inkOf('paper', looking.paperColour).colour,
    plates,
    beats,
    register,
    sheets,
    totals: totalsOf(plates),
    files: [],
    cautions,
  };
}

/** Told of plates of a record that a set made again does not have. */
const missingPlates = ({ expects }: SeparateRequest, plates: SetReport['plates']): Caution[] =>
  [...(expects?.bits ?? [])]
    .filter(([name]) => !plates.some((plate) => plate.name === name))
    .flatMap(([, bitsSha256]) => remadeCautions({ anyway: expects!.anyway, bitsSha256 }, 'none'));

/** Plates of which any stops the set, or with `strict` is cautioned about. */
const refusesAny = (report: SetReport, made: readonly Prepared[], strict: boolean): boolean =>
  made.some(({ refused }) => refused) || refuses(report.cautions, strict);

/**
 * Makes a set of plates for one print: divides the picture, makes each plate, proofs them together and writes them with
 * a report of the set. Either every file of the set is in place at the end, or none is.
 */
export async function makeSet(request: SeparateRequest, context: RunContext): Promise<MadeSet> {
  const { folder, overwrite, protect, strict } = request;
  const set = openFileSet({ owner: context.owner, protect, overwrite });
  let report: Slot | null = null;
  try {
    if (folder !== null) {
      await sweepStale(folder, context.owner);
      report = await set.add(join(folder, setName(request.name)));
    }
    context.progress('reading', 0, 1);
    const division = await divide(request, context);
    try {
      const plates = division.inks.map((_, index) =>
        requestFor(request, division, index, plateJobOf(request, division, index)),
      );
      const { opened, looks } = await openAll(request, plates, set, context);
      const made = await makePlates(division, plates, opened, context);
      const bare = reportOf(request, division, made, await toolFacts());
      const refused = refusesAny(bare, made, strict);
      if (refused || folder === null || report === null) {
        await set.abandon();
        return { report: bare, refused, written: [] };
      }
      const files = await writeProofs(request, division, made, looks, context);
      const whole = { ...bare, files };
      if (looks.sheet) {
        await looks.sheet.slot.write(encoded(setSheet(whole)));
        whole.files = [...files, looks.told(looks.sheet)];
      }
      await report.write(encoded(`${JSON.stringify(whole, null, 2)}\n`));
      context.signal.throwIfAborted();
      await set.commit();
      const written = [
        ...made.flatMap((plate) => plate.written),
        ...whole.files.map(({ name }) => join(folder, name)),
        join(folder, setName(request.name)),
      ];
      return { report: whole, refused: false, written };
    } finally {
      division.close();
    }
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
