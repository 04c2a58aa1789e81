import type { SetFinding } from '../../core/separations/contract.ts';
import type { Caution } from '../schema.ts';
import type { SetReport } from '../set/schema.ts';
import { num } from '../words.ts';
import { caution } from './index.ts';

/** What words of a finding may quote. */
interface Found {
  readonly plate: string;
  readonly count: number;
  readonly areaMm2: string;
  readonly meanMm: string;
  readonly pixels: number;
}

interface Words {
  readonly severity: Caution['severity'];
  text(found: Found): string;
  readonly cure: string;
}

/** What is said of each finding of a separation, by its code. */
const WORDS: Readonly<Record<string, Words>> = {
  trapped: {
    severity: 'note',
    text: ({ plate, areaMm2 }) => `${plate} spreads ${areaMm2} mm² under its neighbours`,
    cure: 'Print it before them, so that they cover it.',
  },
  'trap-narrowed': {
    severity: 'warn',
    text: ({ plate, areaMm2, meanMm }) =>
      `${plate} spreads under its neighbours by only ${meanMm} mm on the average (${areaMm2} mm²), since they are narrow: it goes to the middle of a line and no further`,
    cure: 'Draw the lines of the key twice as wide as --trap, or print with so much more care.',
  },
  'white-line': {
    severity: 'note',
    text: ({ plate, areaMm2 }) => `${plate} draws back ${areaMm2} mm² for the white line`,
    cure: 'Leave --white-line out to let colours spread under each other instead.',
  },
  swallowed: {
    severity: 'note',
    text: ({ plate, count, areaMm2 }) =>
      `${count} ${count === 1 ? 'piece' : 'pieces'} of ${plate} (${areaMm2} mm²), smaller than the smallest mark, went to the colour beside them`,
    cure: 'Give a smaller --smallest to keep them, if the plate holds them.',
  },
  'stage-clipped': {
    severity: 'warn',
    text: ({ plate, pixels, areaMm2 }) =>
      `${plate} asks for ${pixels} pixels (${areaMm2} mm²) that the stage before has cut away; they were left out`,
    cure: 'Look at the proof of that stage; add them to the stages before to keep them.',
  },
  'stage-frail': {
    severity: 'warn',
    text: ({ plate, count, areaMm2 }) =>
      `${count} ${count === 1 ? 'piece' : 'pieces'} of ${plate} (${areaMm2} mm²) smaller than the smallest mark must survive until it is printed`,
    cure: 'They may break off: take them out of the picture, or print that stage first from a spare block.',
  },
  'pieces-joined': {
    severity: 'note',
    text: ({ count }) =>
      `${count} ${count === 1 ? 'area' : 'areas'} too small or thin to be cut went to the piece beside them`,
    cure: 'Give a smaller --smallest-piece to keep them, if they can be cut and held.',
  },
  'paper-lost': {
    severity: 'warn',
    text: ({ count }) =>
      `The inset leaves nothing of ${count} ${count === 1 ? 'piece' : 'pieces'}, and ${count === 1 ? 'it is' : 'they are'} not cut`,
    cure: 'Give a smaller --paper-inset, or draw them larger.',
  },
  'paper-dry': {
    severity: 'note',
    text: () => 'Papers are cut as large as they are wanted, and grow when they are damped',
    cure: 'Measure a strip of the paper dry and damp, both ways of the grain, and give --wet-growth 0.7,0.3.',
  },
  'never-seen': {
    severity: 'warn',
    text: ({ plate }) => `${plate} has nothing to print`,
    cure: 'Leave it out, or give it a colour that the picture has.',
  },
};

export function findingCautions(
  findings: readonly SetFinding[],
  names: readonly string[],
  pitchMm: number,
): Caution[] {
  return findings.map(({ code, plate, count, areaPx }) => {
    const words = WORDS[code]!;
    const areaMm2 = areaPx * pitchMm * pitchMm;
    const found = {
      plate: plate === null ? 'the set' : names[plate]!,
      count,
      areaMm2: num(areaMm2, 2),
      meanMm: num((areaPx / Math.max(1, count)) * pitchMm, 2),
      pixels: areaPx,
    };
    return caution({
      code,
      severity: words.severity,
      text: words.text(found),
      value: Number(areaMm2.toFixed(4)),
      unit: 'mm²',
      cure: words.cure,
    });
  });
}

/** A pattern of so many rows is seen as one; 15 degrees apart make 3.8, 30 degrees 1.9 (1 ÷ 2 sin ½Δ; the limit is from memory). */
const SEEN_ROWS = 4.5;

export const beatCautions = (beats: SetReport['beats']): Caution[] =>
  beats.flatMap(({ plates: [one, other], periodMm, rowsMm }) =>
    periodMm === null || periodMm < SEEN_ROWS * rowsMm
      ? []
      : [
          caution({
            code: 'screens-beat',
            text: `The screens of ${one} and ${other} make a pattern of ${num(periodMm, 1)} mm together`,
            value: periodMm,
            limit: Number((SEEN_ROWS * rowsMm).toFixed(4)),
            unit: 'mm',
            cure: 'Turn one of them by 30 degrees with --angle in its --plate-job, or give them a grain, which has no pattern.',
          }),
        ],
  );

/** What cannot be undone, told before it is done. */
export function oneWayCautions(plates: SetReport['plates'], sheets: SetReport['sheets']): Caution[] {
  const whole = sheets ? `all ${sheets.start} sheets` : 'all sheets';
  return plates.slice(1).map(({ name }, index) =>
    caution({
      code: 'one-way',
      severity: 'note',
      text: `After ${name} is cut, ${plates[index]!.name} cannot be printed again`,
      cure: `Are ${whole} of ${plates[index]!.name} pulled and dry, spoiled ones counted? Only then cut on.`,
    }),
  );
}
