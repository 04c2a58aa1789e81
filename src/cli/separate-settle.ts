import { basename } from 'node:path';
import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../core/errors.ts';
import { processes } from '../core/processes/index.ts';
import type { AnySeparation, SeparationWay, SetInk } from '../core/separations/contract.ts';
import { separations } from '../core/separations/index.ts';
import { inkOf, isPlateName, readInks } from '../job/inks.ts';
import { type Layer, resolveJob } from '../job/layers.ts';
import { resolveMaking } from '../job/making.ts';
import { NO_CURVES } from '../job/measured-curve.ts';
import { type PaperSize, parsePaperSize } from '../job/paper-sizes.ts';
import { jobSettings, type Setting, settingsOf } from '../job/settings.ts';
import { unstorable } from '../run/formats.ts';
import { lookingClashes } from '../run/looking/clashes.ts';
import { foundNames } from '../run/sets/found.ts';
import type { PlateJob, SeparateRequest } from '../run/sets/request.ts';
import {
  methodSettings,
  type SeparateSettings,
  separateSettings,
  separationsWith,
} from '../run/sets/settings.ts';
import { type RunSettings, runSchema } from '../run/settings.ts';
import { type Known, openKnown } from '../run/settle-job.ts';
import { typedValues } from './flags.ts';
import { loadWorkshop, resolveSettings } from './settle.ts';
import { STDIO, shownName, stemOf } from './stdio.ts';

/** Settings of a job that a set decides itself, or that belong to single pictures. */
const NOT_OF_SETS = ['controlStrip', 'source', 'whitepointPercent', 'blackpointPercent', 'gamma', 'descreen'];
/** What must be the same for all plates, or they do not register. */
const CANVAS = ['widthMm', 'heightMm', 'dpi', 'borderMm', 'fit', 'rotateDeg', 'page'];

const OTHERWISE: Readonly<Record<string, Partial<Setting>>> = {
  name: { description: 'stem of the file names; the picture’s own name unless given' },
  out: { description: 'folder for the files' },
  dryRun: { description: 'do everything but write files; the report goes to standard output' },
  proof: { description: 'write proofs of the print after each printing, from the finished plates' },
  jobsheet: { description: 'write the sheet of the set, and the job sheet of each plate' },
  inkColour: { description: 'colour of a plate that has a picture of its own and no ink in --inks' },
  process: { description: 'what the plates are; single ones may be others with --plate-job' },
};
const toldOtherwise = (setting: Setting): Setting => ({ ...setting, ...OTHERWISE[setting.key] });

const RUN_KEYS_OUT = ['report', 'saveJob', 'curve'];
export const setFlags: readonly Setting[] = settingsOf(separateSettings);
export const methodFlags: readonly Setting[] = settingsOf(methodSettings);
export const jobFlags: readonly Setting[] = jobSettings
  .filter(({ key }) => !NOT_OF_SETS.includes(key))
  .map(toldOtherwise);
export const runFlags: readonly Setting[] = settingsOf(runSchema)
  .filter(({ key }) => !RUN_KEYS_OUT.includes(key))
  .map(toldOtherwise);

type Pair = readonly [name: string, value: string];

/** `name=value` of an option that may come again. */
function pairsOf(command: Command, attribute: string, flag: string): { pairs: Pair[]; problems: Problem[] } {
  const texts = (command.getOptionValue(attribute) as string[] | undefined) ?? [];
  const pairs: Pair[] = [];
  const problems: Problem[] = [];
  const add = (code: string, message: string): void =>
    void problems.push({
      code,
      message,
      hint: `Give the plate’s name and a file, such as ${flag} lamps=lamps.png; names have letters, digits, - and _.`,
    });
  for (const text of texts) {
    const [name = '', value = ''] = text.split(/=(.*)/s);
    if (!isPlateName(name) || value === '') add('bad-value', `${flag}: "${text}" is not understood`);
    else if (pairs.some(([known]) => known.toLowerCase() === name.toLowerCase()))
      add('plate-twice', `${flag}: the plate ${name} is named twice`);
    else pairs.push([name, value]);
  }
  return { pairs, problems };
}

interface Method {
  readonly def: AnySeparation;
  readonly params: Readonly<Record<string, unknown>>;
}

/** True for a method that cuts pieces out of its sheets. */
function cutsOf({ def, params }: Method): boolean {
  const way = def.way(params);
  return way.draws === 'areas' && way.cuts !== undefined;
}

function methodOf(
  command: Command,
  by: SeparateSettings['by'],
): { method: Method | null; problems: Problem[] } {
  const typed = typedValues(command, methodFlags);
  const { values, problems } = resolveSettings(command, methodFlags);
  const strays = Object.keys(typed).filter((key) => by === undefined || !separationsWith(key).includes(by));
  for (const key of strays) {
    const { flag } = methodFlags.find((setting) => setting.key === key)!;
    const owners = separationsWith(key).join(' or ');
    problems.push({
      code: 'setting-of-another-method',
      message: `--${flag} belongs to the method ${owners}, but ${by === undefined ? 'none is given' : `the method is ${by}`}`,
      hint: `Leave it out, or choose --by ${separationsWith(key)[0]}.`,
    });
  }
  if (by === undefined || problems.length > 0) return { method: null, problems };
  const def = separations[by] as unknown as AnySeparation;
  const own = Object.fromEntries(Object.entries(values).filter(([key]) => separationsWith(key).includes(by)));
  return { method: { def, params: def.params.parse(own) }, problems };
}

/** What does not go together, as far as flags alone tell. */
function clashes(
  pictures: readonly string[],
  plates: readonly Pair[],
  owns: readonly Pair[],
  method: Method | null,
  inks: readonly SetInk[] | null,
  settings: SeparateSettings & RunSettings,
  isTyped: boolean,
): Problem[] {
  const problems: Problem[] = [];
  const add = (code: string, message: string, hint: string): void =>
    void problems.push({ code, message, hint });
  if (pictures.length === 0 && plates.length === 0)
    add('no-picture', 'No picture is given', 'Name one, or a picture for each plate with --plate name=file.');
  if (pictures.length > 1)
    add(
      'pictures-for-one',
      `${pictures.length} pictures are given, but a set is made of one`,
      'Name one, or a picture for each plate with --plate name=file.',
    );
  if (pictures.length > 0 && plates.length > 0)
    add(
      'picture-and-plates',
      'A picture to divide is given, and pictures of the plates too',
      'Leave one or the other out.',
    );
  if (pictures.length > 0 && settings.by === undefined && !isTyped)
    add(
      'no-method',
      'No method is given',
      `Say how it is divided: --by ${Object.keys(separations).join(', --by ')}.`,
    );
  if (settings.out === '-')
    add('set-to-stream', '--out - cannot carry a set, which is many files', 'Name a folder.');
  if (inks && settings.colours !== undefined)
    add('inks-and-colours', '--inks and --colours are both given', 'Leave one of them out.');
  if (
    !inks &&
    settings.inks === undefined &&
    pictures.length > 0 &&
    method?.def.inks.found === null &&
    settings.colours === undefined
  )
    add('no-inks', `--by ${method.def.kind} wants to know the inks`, 'Give --inks name=colour,name=colour.');
  const names = inks?.map(({ name }) => name) ?? plates.map(([name]) => name);
  const count = names.length > 0 ? names.length : settings.colours;
  if (method && count !== undefined && (count < method.def.inks.least || count > method.def.inks.most)) {
    const { least, most } = method.def.inks;
    const wanted = least === most ? String(least) : `${least} to ${most}`;
    add(
      'number-of-inks',
      `--by ${method.def.kind} goes with ${wanted} inks, not ${count}`,
      `Give ${wanted}.`,
    );
  }
  if (inks && plates.length > 0) {
    const known = plates.map(([name]) => name);
    if ([...names].sort().join() !== [...known].sort().join())
      add(
        'inks-and-plates-differ',
        `--inks names ${names.join(', ')}, but --plate ${known.join(', ')}`,
        'Name every plate in both, or leave --inks out.',
      );
  }
  for (const [name] of owns)
    if (!names.includes(name) && !(method && cutsOf(method)))
      add(
        'no-such-plate',
        `--plate-job: there is no plate "${name}"`,
        names.length > 0 ? `The plates are ${names.join(', ')}.` : 'Give the plates names with --inks.',
      );
  if (method && plates.length > 0) {
    const way = method.def.way(method.params);
    if (way.draws !== 'areas' || way.by !== 'colours' || way.cuts)
      add(
        'method-divides-one',
        `--by ${method.def.kind} divides one picture, and each plate has its own`,
        'Leave --by out, or give one picture.',
      );
  }
  const cuts = method && cutsOf(method);
  if (settings.pieceMap !== undefined && !cuts)
    add(
      'piece-map-without-pieces',
      `--piece-map says where pieces are cut, and ${method ? `--by ${method.def.kind} cuts none` : 'nothing is cut'}`,
      'Leave it out, or give --by pieces.',
    );
  if (cuts && owns.length > 0)
    add(
      'plate-job-of-pieces',
      '--plate-job: plates that are cut into pieces are all made alike',
      'Give its settings for the whole set.',
    );
  const found = settings.colours ?? method?.def.inks.found ?? 0;
  const all = names.length > 0 || !method ? names : foundNames(method.def, found);
  const unfit = method && all.length > 0 ? method.def.unfit?.(method.params, all) : null;
  if (unfit) add('bad-value', unfit.message, unfit.hint);
  return problems;
}

/** The job of one plate, or of all, out of its layers. */
async function plateJob(
  layers: readonly Layer[],
  known: Known,
): Promise<{ job: PlateJob | null; problems: readonly Problem[] }> {
  const resolved = resolveJob(layers);
  if (!resolved.job) return { job: null, problems: resolved.problems };
  const { job, origins } = resolved;
  const { making, problems } = resolveMaking(job, known.workshop);
  const curves = { ...NO_CURVES, kept: await known.keptFor(job.material) };
  return { job: { job, origins, making, curves }, problems };
}

/** A plate's own job may not move it off the canvas of the others. */
const offCanvas = (layer: Layer, base: PlateJob | null, own: PlateJob | null): Problem[] =>
  CANVAS.flatMap((key) => {
    if (!(key in layer.values) || !base || !own) return [];
    const [one, other] = [base.job, own.job].map((job) => (job as unknown as Record<string, unknown>)[key]);
    if (one === other) return [];
    return [
      {
        code: 'plate-off-canvas',
        message: `${layer.name}, ${key}: all plates of a set have the same canvas, and this one would not`,
        hint: `Leave ${key} out of it, and give it for the whole set.`,
      },
    ];
  });

/** Pieces are laid by the lines they are cut along, which have the size of the print. */
const stretchedPieces = (method: Method | null, job: PlateJob['job'] | null): Problem[] =>
  method && cutsOf(method) && job && (job.stretchXPercent > 0 || job.stretchYPercent > 0)
    ? [
        {
          code: 'stretch-of-pieces',
          message:
            '--stretch-x and --stretch-y: the lines that pieces are cut along have the size of the print',
          hint: 'Leave them out, or divide by another method.',
        },
      ]
    : [];

/** One block prints less after each cut; of a plate that holds its ink where it is etched every cut prints more. */
const notOneBlock = (method: Method | null, plates: readonly PlateJob[]): Problem[] =>
  plates
    .filter(({ job }) => method?.def.oneBlock && processes[job.process].prints !== 'kept')
    .slice(0, 1)
    .map(({ job }) => ({
      code: 'one-block-of-intaglio',
      message: `--by ${method!.def.kind} cuts away what has been printed, but a plate of ${job.process} prints what is cut`,
      hint: 'Give --process relief for all stages, or divide by another method.',
    }));

/** What is wrong with aids, map and template, as far as flags tell. */
function registerClashes(
  { paperSize, bedTemplate, registerMap, dryRun }: SeparateSettings & RunSettings,
  paper: PaperSize | null,
  way: SeparationWay | null,
): Problem[] {
  const problems: Problem[] = [];
  const add = (code: string, message: string, hint: string): void =>
    void problems.push({ code, message, hint });
  if (paperSize !== undefined && paper === null)
    add(
      'bad-value',
      `--paper-size: "${paperSize}" is not understood`,
      'Give width and height, such as 380x560mm or 22x15in, or a name of `etchwright list papers`.',
    );
  if (bedTemplate && paperSize === undefined)
    add(
      'template-without-paper',
      '--bed-template shows where the sheet lies, and no sheet is known',
      'Give --paper-size, such as --paper-size 380x560mm.',
    );
  if (paperSize !== undefined && !bedTemplate)
    add(
      'paper-without-template',
      '--paper-size is for the template of the press bed alone, and none is asked for',
      'Give --bed-template too, or leave it out.',
    );
  if (registerMap && way?.draws === 'areas' && way.cuts)
    add(
      'map-of-pieces',
      '--register-map shows what a plate bares that lies off, and pieces are put together and printed in one go',
      'Leave it out.',
    );
  else if (registerMap && way?.draws !== 'areas')
    add(
      'map-of-tones',
      '--register-map shows where areas part, and plates of tones or of pictures of their own have none',
      'Leave it out, or divide by a method that draws areas, such as --by key.',
    );
  const files = [...(bedTemplate ? ['--bed-template'] : []), ...(registerMap ? ['--register-map'] : [])];
  if (dryRun && files.length > 0)
    add(
      'look-of-dry-run',
      `--dry-run writes no files, so ${files.join(', ')} has nowhere to go`,
      'Leave one of them out.',
    );
  return problems;
}

export interface Settled {
  readonly request: SeparateRequest;
  readonly run: RunSettings;
}

/** Gathers flags and job files to one request, or tells all that is wrong at once. */
export async function settleSet(pictures: readonly string[], command: Command): Promise<Settled> {
  const { readJobLayer } = await import('../run/job-file.ts');
  const { values, problems } = resolveSettings(command, [...setFlags, ...runFlags]);
  const settings = values as unknown as SeparateSettings & RunSettings;
  const plates = pairsOf(command, 'plate', '--plate');
  const owns = pairsOf(command, 'plateJob', '--plate-job');
  const { method, problems: ofMethod } = methodOf(command, settings.by);
  const read = settings.inks ? readInks(settings.inks) : null;
  const named = read && read.problems.length === 0 ? read.inks : null;
  const looked = read !== null || settings.colours !== undefined || plates.pairs.length > 0;
  const usual = looked ? undefined : method?.def.inks.usual;
  const inks = named ?? usual?.map(({ name, colour, opaque }) => inkOf(name, colour, opaque)) ?? null;
  const known = await openKnown({ curve: undefined }, await loadWorkshop(settings.workshop));
  const jobFile = command.getOptionValue('job') as string | undefined;
  const layers: Layer[] = jobFile === undefined ? [] : [await readJobLayer(jobFile)];
  layers.push({ origin: 'flag', name: '', values: typedValues(command, jobFlags) });
  const base = await plateJob(layers, known);
  const own = new Map<string, PlateJob>();
  const ofPlates: Problem[] = [];
  for (const [name, file] of owns.pairs) {
    const layer = await readJobLayer(file).catch((error: unknown) => {
      if (!(error instanceof EtchError)) throw error;
      ofPlates.push({ code: error.code, message: `--plate-job ${name}: ${error.message}`, hint: error.hint });
      return null;
    });
    if (!layer) continue;
    const plate = await plateJob([...layers, layer], known);
    ofPlates.push(...plate.problems, ...offCanvas(layer, base.job, plate.job));
    if (plate.job) own.set(name, plate.job);
  }
  const jobs = [base.job, ...own.values()].flatMap((one) => (one ? [one.job] : []));
  const paper = settings.paperSize === undefined ? null : parsePaperSize(settings.paperSize);
  // a method that was not understood is told as that
  const isTyped = command.getOptionValueSource('by') === 'cli';
  const all = [
    ...clashes(pictures, plates.pairs, owns.pairs, method, inks, settings, isTyped),
    ...plates.problems,
    ...owns.problems,
    ...(read?.problems ?? []),
    ...ofMethod,
    ...problems,
    ...base.problems,
    ...ofPlates,
    ...stretchedPieces(method, base.job?.job ?? null),
    ...notOneBlock(method, [...(base.job ? [base.job] : []), ...own.values()]),
    ...registerClashes(settings, paper, method?.def.way(method.params) ?? null),
    ...lookingClashes(settings, { streams: false, dryRun: settings.dryRun }, base.job?.job ?? null),
    ...jobs.flatMap(({ screen }) => (screen ? unstorable(screen, settings.format, settings.tiff) : [])),
  ];
  if (all.length > 0 || !base.job) throw new JobError(all);
  const order = inks?.map(({ name }) => name) ?? plates.pairs.map(([name]) => name);
  const files = new Map(plates.pairs);
  const [picture] = pictures;
  const inputs = [
    ...pictures.filter((path) => path !== STDIO),
    ...files.values(),
    ...owns.pairs.map(([, file]) => file),
    ...(settings.pieceMap === undefined ? [] : [settings.pieceMap]),
    ...(jobFile === undefined ? [] : [jobFile]),
    ...(known.workshopFile === null ? [] : [known.workshopFile]),
  ];
  return {
    run: settings,
    request: {
      name: settings.name ?? (picture === undefined ? 'set' : stemOf(picture, 'set')),
      picture: picture === undefined ? null : { path: picture, name: shownName(picture) },
      pieceMap:
        settings.pieceMap === undefined
          ? null
          : { path: settings.pieceMap, name: basename(settings.pieceMap) },
      pictures: order.flatMap((plate) => {
        const path = files.get(plate);
        return path === undefined ? [] : [{ plate, path, name: basename(path) }];
      }),
      method,
      inks,
      settings,
      paper,
      base: base.job,
      own,
      formats: settings.dryRun ? [] : settings.format,
      stored: { fire: settings.fire, tiff: settings.tiff },
      folder: settings.dryRun ? null : settings.out,
      overwrite: settings.overwrite,
      protect: inputs,
      looking: settings,
      strict: settings.strict,
    },
  };
}
