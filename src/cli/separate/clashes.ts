import type { Problem } from '../../core/errors.ts';
import type { SetInk } from '../../core/separations/contract.ts';
import { separations } from '../../core/separations/index.ts';
import { foundNames } from '../../run/sets/found.ts';
import type { SeparateSettings } from '../../run/sets/settings.ts';
import type { RunSettings } from '../../run/settings.ts';
import { cutsOf, type Method } from './method.ts';
import type { Pair } from './pairs.ts';

/** What does not go together, as far as flags alone tell. */
export function clashes(
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
