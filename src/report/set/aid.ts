import { MM_PER_INCH } from '../../core/geometry.ts';
import type { AidDef } from '../../core/register/contract.ts';
import { type AidKind, aids } from '../../core/register/index.ts';
import { caution } from '../cautions/index.ts';
import type { Caution } from '../schema.ts';
import { num, percent, sizeWords } from '../words.ts';
import type { SetReport } from './schema.ts';

type AidFacts = NonNullable<SetReport['aid']>;

/** The aid of a set in a few words, with what it costs. */
export const aidWords = ({ kind, borderMm, wasteShare, trueMm }: AidFacts): string =>
  `${kind} in a border of ${num(borderMm, 2)} mm, ${percent(wasteShare)} of every plate; prints lie true to about ${num(trueMm, 2)} mm`;

/** What to do with shrinkage that the scales tell: it comes on top of what the plates allow for. */
function shrunkNote(plates: SetReport['plates']): string {
  const found = 'Two verniers that have come nearer to each other say how much the print has shrunk';
  const allowed = plates.map(({ report: { job } }) =>
    [job['stretchXPercent'], job['stretchYPercent']].map(Number),
  );
  if (allowed.every((axes) => axes.every((share) => !(share > 0))))
    return `${found}: give it as --stretch-x and --stretch-y.`;
  const [x, y] = allowed[0]!;
  const isCommon = allowed.every((axes) => axes[0] === x && axes[1] === y);
  const known = isCommon
    ? `the ${num(x!, 2)} % across and ${num(y!, 2)} % down that these plates allow for`
    : 'what each of these plates allows for';
  return `${found} beyond ${known}: add it to --stretch-x and --stretch-y, and give the sums.`;
}

/** What totals of time leave out, as it follows them; empty for nothing. */
export const untimedWords = (aid: AidFacts | null): string =>
  aid?.shelfMm ? `, without the shelves of the ${aid.kind}, whose depth hangs on the paper` : '';

/** How sheets are laid by it. */
export function aidNotes({ kind, first, shelfMm }: AidFacts, plates: SetReport['plates']): string[] {
  const aid: AidDef = aids[kind as AidKind];
  return [
    ...aid.notes,
    ...(aid.hasScales ? [shrunkNote(plates)] : []),
    ...(first === null
      ? []
      : [`${first} carries the scale of whole millimetres; read every other plate against it.`]),
    ...(shelfMm
      ? [
          `Engrave each shelf file after its plate, without moving the block, ${num(shelfMm.least, 1)} to ${num(shelfMm.most, 1)} mm deep: little more than the paper.`,
        ]
      : []),
  ];
}

function frail(kind: string, fine: AidFacts['lines']): Caution {
  const lineMm = Math.min(...fine.map((one) => one.lineMm));
  const sureMm = Math.max(...fine.map((one) => one.sureMm));
  return caution({
    code: 'register-frail',
    severity: 'note',
    text: `Lines of ${kind} on ${fine.map(({ plate }) => plate).join(', ')} are ${num(lineMm, 2)} mm wide, and the sheet holds ${num(sureMm, 2)} mm for certain; wider ones could not be read`,
    value: lineMm,
    limit: sureMm,
    unit: 'mm',
    cure: 'Look at them before printing; lay by the middles of what is left of them.',
  });
}

/** What a line of a vernier stands off the next of the other scale, from one tenth to the next. */
const VERNIER_MM = 0.1;

function coarse(pitchMm: number): Caution {
  return caution({
    code: 'register-coarse',
    severity: 'note',
    text: `A pixel is ${num(pitchMm, 2)} mm wide, so the verniers can be read to about that and no finer`,
    value: pitchMm,
    limit: VERNIER_MM,
    unit: 'mm',
    cure: `Give --dpi ${Math.ceil(MM_PER_INCH / VERNIER_MM)} or more to read tenths of a millimetre.`,
  });
}

/** What the aid of a set costs, where its lines are finer than the sheet holds, and where its scales are too coarse to read. */
export function aidCautions(aid: SetReport['aid'], pitchMm: number): Caution[] {
  if (!aid) return [];
  const { kind, needsMm, borderMm, wasteShare, lines } = aid;
  const fine = lines.filter(({ lineMm, sureMm }) => lineMm < sureMm);
  return [
    caution({
      code: 'register-waste',
      severity: 'note',
      text: `The border of ${num(borderMm, 2)} mm for ${kind} is waste, ${percent(wasteShare)} of every plate and as much paper; ${kind} would do with ${num(needsMm, 2)} mm`,
      value: wasteShare,
      cure: 'Count it in when plates and sheets are cut, and trim it off when the edition is printed.',
    }),
    ...(fine.length === 0 ? [] : [frail(kind, fine)]),
    ...(aid.first === null || pitchMm <= VERNIER_MM ? [] : [coarse(pitchMm)]),
  ];
}

/** How large plates and print are: "3 plates of 240 × 160 mm", or both where plates are stretched for the paper. */
export function setSizeWords({ canvas, plates }: Pick<SetReport, 'canvas' | 'plates'>): string {
  const sizes = new Set(plates.map(({ report }) => sizeWords(report.plate)));
  const print = sizeWords(canvas);
  const count = `${plates.length} ${plates.length === 1 ? 'plate' : 'plates'}`;
  if (plates.every(({ report }) => report.plate.printMm === undefined)) return `${count} of ${print}`;
  const [only] = sizes;
  return sizes.size === 1
    ? `${count} of ${only} for prints of ${print}`
    : `${count} for prints of ${print}, each of its own size`;
}
