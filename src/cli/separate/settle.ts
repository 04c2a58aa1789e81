import { basename } from 'node:path';
import type { Command } from 'commander';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { idleProblems } from '../../job/idle.ts';
import { inkOf, readInks } from '../../job/inks.ts';
import { type Layer, resolveJob } from '../../job/layers.ts';
import { resolveMaking } from '../../job/making.ts';
import { NO_CURVES } from '../../job/measured-curve.ts';
import { parsePaperSize } from '../../job/paper-sizes.ts';
import { unstorable } from '../../run/formats.ts';
import { lookingClashes } from '../../run/looking/clashes.ts';
import type { PlateJob, SeparateRequest } from '../../run/sets/request.ts';
import type { SeparateSettings } from '../../run/sets/settings.ts';
import type { RunSettings } from '../../run/settings.ts';
import { type Known, openKnown } from '../../run/settle-job.ts';
import { typedValues } from '../flags.ts';
import { loadWorkshop, resolveSettings } from '../settle.ts';
import { STDIO, shownName, stemOf } from '../stdio.ts';
import { clashes } from './clashes.ts';
import { jobFlags, runFlags, setFlags } from './flags.ts';
import { notOneBlock, offCanvas, stretchedPieces } from './job-clashes.ts';
import { methodOf } from './method.ts';
import { pairsOf } from './pairs.ts';
import { registerClashes } from './register-clashes.ts';

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

export interface Settled {
  readonly request: SeparateRequest;
  readonly run: RunSettings;
}

/** Gathers flags and job files to one request, or tells all that is wrong at once. */
export async function settleSet(pictures: readonly string[], command: Command): Promise<Settled> {
  const { readJobLayer } = await import('../../run/job-file.ts');
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
  const ofOwns: Layer[] = [];
  for (const [name, file] of owns.pairs) {
    const layer = await readJobLayer(file).catch((error: unknown) => {
      if (!(error instanceof EtchError)) throw error;
      ofPlates.push({ code: error.code, message: `--plate-job ${name}: ${error.message}`, hint: error.hint });
      return null;
    });
    if (!layer) continue;
    ofOwns.push(layer);
    const plate = await plateJob([...layers, layer], known);
    ofPlates.push(...plate.problems, ...offCanvas(layer, base.job, plate.job));
    if (plate.job) own.set(name, plate.job);
  }
  const flags = [...setFlags, ...jobFlags, ...runFlags];
  const given = Object.assign({}, ...[...ofOwns, ...layers].map((layer) => layer.values), values);
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
    ...idleProblems(flags, Object.keys(typedValues(command, flags)), given),
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
