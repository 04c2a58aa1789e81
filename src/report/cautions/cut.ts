import type { PieceCaution } from '../../core/pieces/frail.ts';
import type { CutPlan } from '../../core/separations/contract.ts';
import type { Making } from '../../job/making.ts';
import type { Caution } from '../schema.ts';
import type { CutFacts } from '../set/cut.ts';
import { num } from '../words.ts';
import { caution } from './index.ts';
import { lineCautions } from './outline.ts';

/** The worst piece of those with one fault. */
interface Worst extends PieceCaution {
  readonly id: string;
  readonly count: number;
  readonly of: number;
  /** "12, 30 mm" on the print. */
  readonly place: string;
}

interface Words {
  readonly severity: Caution['severity'];
  text(worst: Worst): string;
  readonly cure: string;
}

const some = ({ count, of }: Worst, verb: readonly [one: string, more: string]): string =>
  `${count} of ${of} ${of === 1 ? 'piece' : 'pieces'} ${verb[count === 1 ? 0 : 1]}`;

const WORDS: Readonly<Record<PieceCaution['code'], Words>> = {
  'piece-too-small': {
    severity: 'warn',
    text: (worst) =>
      `${some(worst, ['is', 'are'])} hard to hold and to ink: into ${worst.id}, at ${worst.place}, fits a square of ${num(worst.mm, 1)} mm (${num(worst.limitMm, 0)} to 10 mm are wanted, from memory)`,
    cure: 'Join it to its neighbour in the picture or the map, or give a larger --smallest-piece.',
  },
  'thin-bridge': {
    severity: 'warn',
    text: (worst) =>
      `${some(worst, ['is', 'are'])} held together by a bridge under ${num(worst.limitMm, 0)} mm (from memory): ${worst.id} by ${num(worst.mm, 1)} mm, at ${worst.place}`,
    cure: 'Draw it wider, or cut the piece in two there.',
  },
  'sharp-corners': {
    severity: 'note',
    text: (worst) =>
      `${some(worst, ['has', 'have'])} corners sharper than a radius of ${num(worst.limitMm, 0)} mm, which break off and cut blankets: ${worst.id}, at ${worst.place}`,
    cure: 'Round them in the picture, or take them off with a file.',
  },
};

function frail({ pieces }: CutPlan, { pieces: told }: CutFacts, originMm: Origin): Caution[] {
  return (Object.keys(WORDS) as PieceCaution['code'][]).flatMap((code) => {
    const found = pieces.flatMap(({ id, cautions }) =>
      cautions.filter((one) => one.code === code).map((one) => ({ ...one, id })),
    );
    const [first] = found.sort((one, other) => one.mm - other.mm);
    if (!first) return [];
    const place = `${num(originMm.x + first.at.x, 1)}, ${num(originMm.y + first.at.y, 1)} mm`;
    const worst = { ...first, place, count: found.length, of: told.length };
    const { severity, text, cure } = WORDS[code];
    return [
      caution({
        code,
        severity,
        text: text(worst),
        value: Number(first.mm.toFixed(2)),
        limit: first.limitMm,
        unit: 'mm',
        cure,
      }),
    ];
  });
}

/** Upper left corner of the picture on the canvas, in mm. */
interface Origin {
  readonly x: number;
  readonly y: number;
}

/** What pieces that are cut out give rise to. */
export function cutCautions(
  cut: CutPlan | null,
  facts: CutFacts | null,
  making: Making,
  originMm: Origin,
): Caution[] {
  if (!cut || !facts) return [];
  // the sheet of the making is that of the plate, and tells nothing of paper
  const sheet = cut.ofPaper ? { ...making.sheet, id: 'thin paper', thicknessMm: null } : making.sheet;
  return [
    ...frail(cut, facts, originMm),
    ...(facts.gapMm > 0
      ? [
          caution({
            code: 'pieces-apart',
            severity: 'note',
            text: `Cut from one sheet the pieces lie ${num(facts.gapMm, 2)} mm apart, and print with a white line between them`,
            value: facts.gapMm,
            unit: 'mm',
            cure: 'Give --cut-from own-sheets to have neighbours meet.',
          }),
        ]
      : []),
    ...lineCautions({ wish: { as: facts.as }, guideShare: null }, { ...making, sheet }),
  ];
}
