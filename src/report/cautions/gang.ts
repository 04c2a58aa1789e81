import { gangOutlineCautions, type OutlinedSheet } from '../gang/outline.ts';
import type { GangReport, PlacedPlate } from '../gang/schema.ts';
import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { num, sizeWords } from '../words.ts';
import { caution } from './index.ts';
import { makingCautions } from './making.ts';
import { timeCautions } from './time.ts';

/** What the cautions of a gang are made from. */
export interface GangFindings {
  readonly sheet: GangReport['sheet'];
  readonly placed: readonly PlacedPlate[];
  /** One for each sheet, in their order. */
  readonly judged: readonly Judged[];
  /** True where nothing but the etched share told the process. */
  readonly guessed: boolean;
  /** True for copies of one plate, which are meant to have one name. */
  readonly duplicates: boolean;
  /** One for each sheet, or none. */
  readonly outlined: readonly OutlinedSheet[];
}

const names = (placed: readonly PlacedPlate[]): string =>
  [...new Set(placed.map(({ file }) => file))].join(', ');

function plateCautions({ placed, guessed, duplicates, judged }: GangFindings): Caution[] {
  const cautions: Caution[] = [];
  const changed = placed.filter(({ report }) => report === 'differs');
  if (changed.length > 0)
    cautions.push(
      caution({
        code: 'other-bits-than-reported',
        text: `The report beside it tells of other bits than the file holds: ${names(changed)}`,
        cure: 'Look whether the right file lies beside the right report, or make the plate again.',
      }),
    );
  if (new Set(placed.map(({ mirrored }) => mirrored)).size > 1)
    cautions.push(
      caution({
        code: 'facing-mixed',
        text: `Some of these plates are mirrored and some are not: ${names(placed.filter(({ mirrored }) => !mirrored))} ${placed.filter(({ mirrored }) => !mirrored).length === 1 ? 'is' : 'are'} not`,
        cure: 'Make those again, unless they are meant to print the wrong way round.',
      }),
    );
  if (guessed)
    cautions.push(
      caution({
        code: 'process-guessed',
        severity: 'note',
        text: `No report says what the plates are for; by their etched share they are taken for ${judged[0]!.process}`,
        cure: 'Say so with --process.',
      }),
    );
  const shown = new Map<string, Set<string>>();
  for (const { name, id } of placed) shown.set(name, (shown.get(name) ?? new Set()).add(id));
  const same = [...shown].filter(([, ids]) => ids.size > 1).map(([name]) => name);
  if (same.length > 0 && !duplicates)
    cautions.push(
      caution({
        code: 'same-name',
        severity: 'note',
        text: `Several plates are called ${same.join(', and several ')}`,
        cure: 'Their ids tell them apart: go by the label sheet.',
      }),
    );
  return cautions;
}

function waysOfLying({ placed, sheet, judged }: GangFindings): Caution[] {
  const cautions: Caution[] = [];
  const bare = placed.filter(({ label }) => label === null);
  if (bare.length > 0)
    cautions.push(
      caution({
        code: 'id-left-out',
        text: `There is no room in the waste for the ids of ${bare.map(({ id }) => id).join(', ')}`,
        cure: 'Give a wider --gutter or --sheet-margin, or label them from the label sheet before they are cut.',
      }),
    );
  const turned = placed.filter((plate) => plate.turned).length;
  if (turned > 0)
    cautions.push(
      caution({
        code: 'lies-turned',
        severity: 'note',
        text: `${turned} of ${placed.length} plates ${turned === 1 ? 'lies' : 'lie'} turned by 90°`,
        value: turned,
        cure: 'Where the sheet has a grain that should run one way, give --turn off.',
      }),
    );
  const { thicknessMm } = judged[0]!.making.sheet;
  if (thicknessMm !== null && sheet.gutterMm < thicknessMm)
    cautions.push(
      caution({
        code: 'cuts-close',
        severity: 'note',
        text: `The gutter of ${num(sheet.gutterMm, 2)} mm is narrower than the sheet is thick; cuts are usually kept as far apart as that (common practice)`,
        value: sheet.gutterMm,
        limit: thicknessMm,
        unit: 'mm',
        cure: `Give --gutter ${num(thicknessMm, 2)} mm, or ask the workshop’s staff.`,
      }),
    );
  return cautions;
}

function sheetOnBed({ sheet, judged }: GangFindings): Caution[] {
  const { machine, origins } = judged[0]!.making;
  const { bedMm: bed } = machine;
  if (sheet.widthMm <= bed.x && sheet.heightMm <= bed.y) return [];
  return [
    caution({
      code: 'sheet-larger-than-bed',
      severity: origins['bedMm'] === 'workshop' ? 'stop' : 'warn',
      text: `The sheet of ${sizeWords(sheet)} does not lie on a bed of ${num(bed.x)} × ${num(bed.y)} mm as it is`,
      cure: 'Cut it down first, and say so with --sheet-width and --sheet-height.',
    }),
  ];
}

const same = (a: Caution, b: Caution): boolean => a.code === b.code && a.text === b.text;

/** What helps a single plate helps a sheet of several otherwise. */
const LESS_ON_A_SHEET =
  'Lay less on a sheet, with a smaller --sheet-height, or make the plates at a lower --dpi; else book more than one slot.';

const forSheet = (one: Caution, number: number, of: number): Caution => ({
  ...one,
  text: of > 1 ? `Sheet ${number}: ${one.text}` : one.text,
  cure: one.code === 'slot-overrun' ? LESS_ON_A_SHEET : one.cure,
});

/** What the making of all sheets gives rise to; what hangs on one sheet's minutes and size is told with its number. */
function makingOfSheets(judged: readonly Judged[]): Caution[] {
  const bySheet = judged.map((one) => timeCautions(one));
  const general = makingCautions(judged[0]!).filter((one) => !bySheet[0]!.some((other) => same(one, other)));
  const numbered = bySheet.flatMap((cautions, index) =>
    cautions.map((one) => forSheet(one, index + 1, judged.length)),
  );
  const at = general.findIndex(({ severity }) => severity === 'note');
  return at < 0 ? [...general, ...numbered] : [...general.slice(0, at), ...numbered, ...general.slice(at)];
}

/** All that people should know before the sheets are made, in a fixed order. */
export const gangCautions = (found: GangFindings): Caution[] => [
  ...plateCautions(found),
  ...waysOfLying(found),
  ...sheetOnBed(found),
  ...gangOutlineCautions(found.outlined, found.placed, found.sheet, found.judged[0]!.making),
  ...makingOfSheets(found.judged),
];
