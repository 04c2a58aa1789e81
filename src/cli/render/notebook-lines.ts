import { FRESH_DAYS } from '../../job/measured-curve.ts';
import { clock, counted, num, percent, sizeWords } from '../../report/words.ts';
import type {
  CalibrationEntry,
  GangEntry,
  PlateEntry,
  RunEntry,
  StripEntry,
  TestPlateEntry,
} from '../../store/notebook/entry.ts';
import type { EntryKindName } from '../../store/notebook/kinds/index.ts';
import { mostOff } from '../../store/notebook/kinds/strip.ts';

/** What is told of an entry: a label, and the words behind it; null for what there is not. */
type Told = readonly [label: string, words: string | null];

/** The age of a curve on the day of the run. */
const ageWords = (days: number): string =>
  `${days === 1 ? '1 day' : `${days} days`} old${days > FRESH_DAYS ? `, more than ${FRESH_DAYS}: it was to be measured again` : ''}`;

const sheetWords = ({ material }: RunEntry): string | null => {
  if (material === null) return null;
  const kind = material.kind && material.kind !== material.id ? ` (${material.kind})` : '';
  return `${material.id}${kind}${material.batch ? `, batch ${material.batch}` : ''}`;
};

const sized = ({ plate }: PlateEntry | TestPlateEntry): string =>
  `${plate.process}, ${num(plate.widthMm, 2)} × ${num(plate.heightMm, 2)} mm at ${num(plate.dpi, 3)} dpi`;

const timed = (timeS: number | null, passes: number | null): string | null =>
  timeS === null ? null : `${clock(timeS)}${passes ? ` in ${passes} passes` : ''}`;

const plate = (entry: PlateEntry): Told[] => {
  const { input, screen, coverage, curve, passes, timeS } = entry;
  const { etched, predicted } = coverage;
  return [
    ['picture', input.name],
    ['plate', sized(entry)],
    ['screen', screen.kind],
    [
      'etched',
      `${percent(etched)}${predicted === null ? '' : `; about ${percent(predicted)} after the spot`}`,
    ],
    ['sheet', sheetWords(entry)],
    ['machine', entry.machine],
    ['curve', curve && `${curve.name}, measured on ${curve.measuredOn}, ${ageWords(curve.ageDays)}`],
    ['time', timed(timeS, passes)],
  ];
};

const testplate = (entry: TestPlateEntry): Told[] => [
  ['test', `test plate ${entry.layoutId}${entry.passLadder ? ', with files of further passes' : ''}`],
  ['plate', sized(entry)],
  ['tints', entry.screen.kind],
  ['etched', percent(entry.etched)],
  ['sheet', sheetWords(entry)],
  ['machine', entry.machine],
  ['time', timed(entry.timeS, null)],
];

const gang = (entry: GangEntry): Told[] => {
  const { sheets, process, dpi } = entry;
  const plates = sheets.flatMap(({ placed }) => placed);
  return [
    [
      'gang',
      `${counted(plates.length, 'plate')} on ${counted(sheets.length, 'sheet')}, ${process}, ${num(dpi, 3)} dpi`,
    ],
    ['room', sizeWords(entry.sheet)],
    ...sheets.map(
      ({ placed }, i): Told => [`sheet ${i + 1}`, placed.map(({ id, name }) => `${id} ${name}`).join(', ')],
    ),
    ['etched', sheets.map(({ etched }) => percent(etched)).join(', ')],
    ['sheet', sheetWords(entry)],
    ['machine', entry.machine],
    ['time', timed(entry.timeS, entry.passes)],
  ];
};

/** What the sizes of a test plate that held are called, in the order that they are told. */
const HELD: Readonly<Record<string, string>> = {
  minWallMm: 'kept lines',
  minLandMm: 'kept dots',
  minGapMm: 'etched lines',
  minMarkMm: 'etched dots',
  maxPoolMm: 'pools',
  maxGapMm: 'wells',
};

const calibration = (entry: CalibrationEntry): Told[] => {
  const { curve, layoutId, scans, wedge, screen, process, dpi } = entry;
  const middle = curve.knots.find(([tone]) => tone >= 0.5);
  const known = Object.entries(entry.limitsMm).filter(([, mm]) => mm !== null);
  return [
    ['curve', `${curve.name}, measured on ${curve.measuredOn}`],
    ['sheet', sheetWords(entry) ?? 'not named'],
    ['machine', entry.machine],
    ['tints', `${process}, ${screen.kind} at ${num(dpi, 3)} dpi`],
    [
      'proofs',
      `${scans.map(({ name }) => name).join(', ')} of test plate ${layoutId}${wedge === null ? '' : `, with the wedge ${wedge}`}`,
    ],
    ['middle', middle ? `${percent(middle[0])} prints as ${percent(middle[1])}` : null],
    ['tones', `from ${num(entry.floorPercent)} % to ${num(entry.capPercent)} %`],
    [
      'solid',
      `density ${num(entry.solidDensity, 2)}, printed white ${num(entry.whiteDensity, 2)} above paper`,
    ],
    [
      'held',
      known.length === 0
        ? null
        : known.map(([key, mm]) => `${HELD[key] ?? key} ${num(mm!, 3)} mm`).join(', '),
    ],
    ['into', entry.into],
  ];
};

const strip = (entry: StripEntry): Told[] => {
  const { curve, layoutId, scans, wedge, isLikeRead, holds, patches } = entry;
  const off = mostOff(patches);
  return [
    ['strip', `${scans.map(({ name }) => name).join(', ')} of plate ${layoutId}`],
    ['curve', `${curve.name}, measured on ${curve.measuredOn}`],
    ['sheet', sheetWords(entry)],
    ['machine', entry.machine],
    ['wedge', isLikeRead ? wedge : `${wedge ?? 'none'}, unlike the curve: what differs may be the scanner`],
    ['holds', `${holds ? 'yes' : 'no'}; ${off < 0 ? '' : '+'}${num(off)} L* off at most`],
    [
      'tones',
      patches
        .map(({ share, lightness, expected }) => `${percent(share)} L* ${num(lightness)} (${num(expected)})`)
        .join(', '),
    ],
  ];
};

const LINES: { readonly [Kind in EntryKindName]: (entry: Extract<RunEntry, { kind: Kind }>) => Told[] } = {
  plate,
  testplate,
  gang,
  calibration,
  strip,
};

/** What is told of an entry, in order, as its kind has it. */
export const linesOfEntry = (entry: RunEntry): (readonly [label: string, words: string])[] =>
  (LINES[entry.kind] as (entry: RunEntry) => Told[])(entry).flatMap(([label, words]) =>
    words === null ? [] : [[label, words] as const],
  );
