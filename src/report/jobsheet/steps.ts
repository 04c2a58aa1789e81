import type { ProcessKind } from '../../core/processes/index.ts';
import type { Draws } from '../../core/screens/contract.ts';
import { bidi, html, type Piece } from './html.ts';
import type { Told } from './told.ts';

/** The work in its order; each stage has its own place and people. */
export const STAGES = [
  ['before', 'Before the machine room'],
  ['machine', 'At the machine'],
  ['after', 'After the run'],
  ['press', 'At the press'],
] as const;

type Stage = (typeof STAGES)[number][0];
type Step = string | ((told: Told) => Piece);

/** What a process brings to the sheet: data, in the order of the work; common practice where nothing else stands beside it. */
export interface ProcessSheet {
  /** What etched and kept mean, for somebody who meets the process for the first time. */
  readonly polarity: string;
  readonly edges: {
    readonly title: string;
    readonly lines: readonly string[];
    /** Hold check whose limit is the strip to keep clear. */
    readonly check: string;
    readonly strip: string;
  };
  /** True where it may stand in a forme beside type, and must be as high. */
  readonly typeHigh: boolean;
  readonly steps: Readonly<Record<Stage, readonly Step[]>>;
  /** What to write down at the press. */
  readonly pressNotes: readonly string[];
}

const before: readonly Step[] = [
  'Face, core, glue and backing of the sheet are known; staff were asked where anything is not.',
  'The sheet lies flat against a straight edge, and is larger than the plate by what the saw takes.',
  ({ hash }) => `The file that goes to the machine is the one of this sheet: ${hash}.`,
  ({ time }) =>
    time &&
    (time.fits
      ? `A slot of ${time.slotMinutes} min is booked for about ${time.minutes}; the machine’s own figure rules.`
      : `Slots are booked for about ${time.minutes} min, more than one of ${time.slotMinutes}; staff know of it.`),
];

/** A machine that screens marks again, or takes tone for marks, spoils either kind of file. */
const FIRES_STEP: Readonly<Record<Draws, (fires: string) => string>> = {
  bits: (fires) => `The machine fires on ${fires} pixels, and makes no screen of its own.`,
  tone: (fires) => `The machine varies its power with the tone, and fires hardest on ${fires} pixels.`,
};

type Run = Told['runs'][number];

const often = (times: number): string => (times === 1 ? '' : `, ${times} times`);

/** `ferry.clear1.plate.png` beside `ferry.plate.png` is `.clear1.plate.png`. */
function besideFirst(file: string, [first]: readonly Run[]): string {
  const stem = first?.file.slice(0, Math.max(0, first.file.lastIndexOf('.plate.'))) ?? '';
  return stem !== '' && file.startsWith(`${stem}.`) ? file.slice(stem.length) : file;
}

/** The files of one block in the order they are run, and what keeps them in register. */
function runSteps({ runs, passes }: Told): Piece {
  const [first, ...then] = runs;
  if (!first || then.length === 0) return null;
  const [next] = then;
  const alike = then.every(({ times, minutes }) => times === next!.times && minutes === next!.minutes);
  const others = then.map(({ file, times, minutes }, n) => {
    const how = alike ? '' : `${often(times)}, ${minutes} min`;
    return html`${n === 0 ? '' : alike ? ', ' : '; '}${bidi(besideFirst(file, runs))}${how}`;
  });
  const each = alike ? `${often(next!.times)}, ${next!.minutes} min${then.length > 1 ? ' each' : ''}` : '';
  return [
    html`First ${bidi(first.file)} at ${first.dpi} dpi${often(first.times)}, ${first.minutes} min.`,
    html`Then at ${next!.dpi} dpi, in this order: ${others}${each}.`,
    `Until the last of ${passes} passes the block is not moved; each file lies with its top left corner where that of the first was.`,
  ];
}

const machine: readonly Step[] = [
  'Trained staff know of this run; extraction, lid, lens and bed are as the room’s rules ask.',
  'Focus is the same at the middle and all four corners.',
  ({ size }) => `The machine shows ${size}, and scales nothing.`,
  ({ mirrored }) =>
    mirrored
      ? 'Mirroring is off at the machine: lettering in the file reads backwards, as it should.'
      : 'The file is print-reading: settle who mirrors it, once, before it runs.',
  ({ fires, draws }) => fires && FIRES_STEP[draws](fires),
  'Speed and power were tried on an offcut of the same sheet, and are written down below.',
  (told) =>
    runSteps(told) ??
    (told.passes !== null && told.passes > 1
      ? `Passes are counted (${told.passes}); the sheet stays where it is until the last is done.`
      : 'The sheet stays where it is until its depth is measured.'),
  'Somebody stays beside it for the whole run; what staff say holds.',
];

const after: readonly Step[] = [
  'Extraction runs on as long as the room asks; then the sheet cools before it is lifted.',
  'Depth is measured at three places before it is moved; a sheet that was moved never lies in register again.',
];

const label: Step = ({ hash }) => `Name and ${hash} are written on the back.`;
const bed: Step = 'Bed and machine are left as the room wants them; offcuts go where it says.';

/** What each process adds; safety lines defer to the room. */
export const processSheets: Readonly<Record<ProcessKind, ProcessSheet>> = {
  relief: {
    polarity: 'Relief: what is etched is cleared away and stays white; what is kept takes ink and prints.',
    edges: {
      title: 'Edges',
      lines: [
        'Cut or saw the sheet to size before it is engraved, or leave waste for saw and clamps.',
        'A kept rim prints as a frame: clear it to the edge, or leave it on purpose.',
        'Break the sharp top edges outside the picture, with dust extraction.',
      ],
      check: 'in-saw-edge',
      strip: 'Nothing that prints nearer to a sawn edge than',
    },
    typeHigh: true,
    steps: {
      before,
      machine,
      after: [...after, 'Char and soot are brushed out and wiped off, with dust extraction.', label, bed],
      press: [
        'The block lies without rocking; with type, it is packed to the height in the table.',
        'Ink is thin, from a hard roller; the floor stays clean.',
        // soot of the first pulls: common practice
        'The first two or three pulls, which carry soot, are thrown away.',
        'The proof reads the right way round and is held beside the one on this sheet.',
      ],
    },
    pressNotes: ['ink', 'roller', 'paper', 'damp or dry', 'press', 'packing', 'pressure', 'verdict'],
  },
  intaglio: {
    polarity: 'Intaglio: what is etched holds ink and prints; what is kept is wiped and stays white.',
    edges: {
      title: 'Bevel and edges',
      lines: [
        // calcografics.com and cps.pt on bevels
        'Bevel all four edges at about 45°; on a plate of 1 mm or less, round them instead.',
        'Round the corners by 1 to 2 mm, so that they do not cut the blankets (common practice).',
        'File and scrape away from the picture, clamped, with dust extraction; take the burr off the back.',
      ],
      check: 'in-bevel',
      strip: 'Nothing etched nearer to the edge than',
    },
    typeHigh: false,
    steps: {
      before,
      machine,
      after: [...after, 'Residue is washed or wiped off as the maker of the sheet says.', label, bed],
      press: [
        'Edges are bevelled, corners rounded, the burr is off.',
        'The gap of the press suits the thickness of the plate; nothing is forced.',
        'Paper is damp all through and blotted until it no longer shines.',
        // one proof tells of its wiping as much as of the plate
        'Three proofs are wiped alike before the plate is judged.',
        'The proof reads the right way round and is held beside the one on this sheet.',
      ],
    },
    pressNotes: ['ink', 'wiping', 'paper', 'soaked for', 'press', 'blankets', 'pressure', 'verdict'],
  },
};

/** What to write down at the machine; the fields of an experiment sheet plus those of a laser (zeamaysprintmaking.com). */
export const MACHINE_NOTES = [
  'date',
  'made by',
  'lens, focus',
  'speed',
  'power',
  'passes run',
  'minutes taken',
  'depth measured',
] as const;

const isList = (said: Piece): said is readonly Piece[] => Array.isArray(said);

/** The steps of one stage that have something to say about this plate. */
export const stepsOf = (sheet: ProcessSheet, stage: Stage, told: Told): Piece[] =>
  sheet.steps[stage].flatMap((step): readonly Piece[] => {
    const said = typeof step === 'string' ? step : step(told);
    if (said === null) return [];
    return isList(said) ? said : [said];
  });
