import { focusDepthMm, focusOf } from '../../core/focus.ts';
import { MM_PER_INCH } from '../../core/geometry.ts';
import { sensibleDpi } from '../../core/spot/dpi.ts';
import type { Making } from '../../job/making.ts';
import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { rounded } from '../words.ts';
import { clearingCautions } from './clearing.ts';
import { holdCautions } from './hold.ts';
import { caution } from './index.ts';
import { passCautions } from './pass.ts';
import { safetyCautions } from './safety.ts';
import { timeCautions } from './time.ts';

/** The machine values that plate and minutes lean on most. */
const LEANED_ON = { spotMm: 'spot', speedMmS: 'speed', accelMmS2: 'acceleration' } as const;

/** A starting file that nobody filled in is no better than none. */
function leftOut({ machine, origins }: Making): Caution[] {
  const names = Object.entries(LEANED_ON).flatMap(([key, name]) =>
    origins[key] === 'default' ? [name] : [],
  );
  if (names.length === 0) return [];
  return [
    caution({
      code: 'unmeasured-machine',
      severity: 'note',
      text: `The workshop file does not say this of ${machine.id ?? 'its machine'}, so it is from memory: ${names.join(', ')}`,
      cure: 'Fill it in from the machine’s papers and a test plate; `etchwright workshop show` tells what is in force.',
    }),
  ];
}

function workshopCautions({ making }: Judged): Caution[] {
  if (making.workshop.sha256 !== null) return leftOut(making);
  return [
    caution({
      code: 'unmeasured-workshop',
      severity: 'note',
      text: `No workshop file: spot ${making.machine.spotMm} mm, speed, limits and minutes ${making.spotKnown ? '(but for the spot given) ' : ''}are from memory`,
      cure: 'Write one with `etchwright workshop init`, and fill it in from a test plate.',
    }),
  ];
}

/** Reasons are sentences; inside a longer one their full stop goes. */
const clause = (sentence: string): string => {
  const bare = sentence.replace(/\.$/, '');
  return /^[A-Z][a-z]/.test(bare) ? bare[0]!.toLowerCase() + bare.slice(1) : bare;
};

function materialCautions({ process, making }: Judged): Caution[] {
  const { judgement, confirmedBy, id } = making.sheet;
  if (judgement === null)
    return [
      caution({
        code: 'no-material',
        severity: 'note',
        text: `No material is named; limits are those of ${making.sheet.kind}`,
        cure: 'Name it with --material, and have the workshop’s staff agree to it.',
      }),
    ];
  const { verdict, reason, material, matched, engraveOnly } = judgement;
  const what = material && material.kind !== id ? `${id} (${material.kind}, by "${matched}")` : `${id}`;
  if (verdict === 'never')
    return [
      caution({
        code: 'material-never',
        severity: 'stop',
        text: `${what} must not go into the machine: ${clause(reason)}`,
        cure: 'Use another sheet; the workshop’s own rules may forbid more.',
      }),
    ];
  const cautions: Caution[] = [];
  if (verdict === 'ask' && confirmedBy === null)
    cautions.push(
      caution({
        code: 'material-ask',
        severity: 'stop',
        text: `${what} must be asked about first: ${clause(reason)}`,
        cure: 'Ask the workshop’s staff; if they agree, say who and when with --material-confirmed "name, date".',
      }),
    );
  if (making.sheet.assumed)
    cautions.push(
      caution({
        code: 'assumed-limits',
        severity: 'note',
        text: `Nothing is known here of ${what}; limits are those of ${making.sheet.kind}`,
        cure: 'Measure them with a test plate, and write the sheet into the workshop file.',
      }),
    );
  if (engraveOnly)
    cautions.push(
      caution({
        code: 'engrave-only',
        text: `${what} must never be cut through, only engraved`,
        cure: 'Cut it by hand; keep the machine for the surface.',
      }),
    );
  if (material && !material.processes.includes(process))
    cautions.push(
      caution({
        code: 'unusual-material',
        text: `${material.kind} is not a usual sheet for ${process}`,
        cure: 'See `etchwright list materials`.',
      }),
    );
  return [
    ...cautions,
    ...(material?.cautions ?? []).map((text) =>
      caution({
        code: 'material',
        severity: 'note',
        text: text.replace(/\.$/, ''),
        cure: 'The workshop’s own rules come first.',
      }),
    ),
  ];
}

/** A spot a fifth wider is seen in the tone; common practice among lens makers. */
const GROWTH = 1.2;

function focusCautions({ making }: Judged): Caution[] {
  const { lens, wavelengthUm } = making.machine;
  if (lens === null) return [];
  if (wavelengthUm === null)
    return [
      caution({
        code: 'focus-unknown',
        severity: 'note',
        text: 'The workshop file has data of the lens but no wavelength, so the depth of focus is not known',
        cure: 'Add wavelengthUm to the machine.',
      }),
    ];
  const { rayleighMm } = focusOf({ ...lens, wavelengthUm });
  const off = focusDepthMm(GROWTH, rayleighMm);
  const bow = rounded(2 * off, 2);
  return [
    caution({
      code: 'focus',
      severity: 'note',
      text: `The spot stays within a fifth of its size ${rounded(off, 2)} mm above and below the focus: a sheet may bow by ${bow} mm if focused half-way up`,
      value: bow,
      unit: 'mm',
      cure:
        off < 0.2
          ? 'There is little to spare: hold the sheet flat and check the focus at all four corners.'
          : 'Check the sheet with a straight edge before it goes in.',
    }),
  ];
}

/** At 19 twentieths of the spot that closes a checkerboard it is etched to 99.5 % already (our own prediction). */
const MERGED_ALL_BUT = 0.95;

/** How the pitch suits the spot: marks that burn into each other, or rows that leave ridges between them. */
function spotCautions({ dpi, making, lineArt }: Judged): Caution[] {
  const { spotMm, beam } = making.machine;
  const sensible = sensibleDpi(spotMm, beam);
  const spot = `a spot of ${spotMm} mm${making.spotKnown ? '' : ' (from memory)'}`;
  const value = rounded((spotMm * dpi) / MM_PER_INCH, 3);
  if (lineArt && dpi < sensible.solidFromDpi)
    return [
      caution({
        code: 'ridges',
        severity: 'note',
        text: `With ${spot} solids keep ridges between the rows at ${dpi} dpi`,
        value,
        limit: rounded((spotMm * sensible.solidFromDpi) / MM_PER_INCH, 3),
        unit: 'px',
        cure: `From --dpi ${sensible.solidFromDpi} on they are cleared without ridges.`,
      }),
    ];
  // a checkerboard is solid to the eye a little before its last gaps close
  if (lineArt || dpi < MERGED_ALL_BUT * sensible.mergedFromDpi) return [];
  return [
    caution({
      code: 'finer-than-spot',
      severity: 'note',
      text: `With ${spot}, ${value} pixels wide, single pixels burn into each other`,
      value,
      limit: rounded((spotMm * sensible.mergedFromDpi) / MM_PER_INCH, 3),
      unit: 'px',
      cure: `A pitch about as wide as the spot, --dpi ${sensible.dpi}, draws as much in less time.`,
    }),
  ];
}

/** What machine, material and press will do to these bits, said to people; in a fixed order. */
export const makingCautions = (judged: Judged): Caution[] => [
  ...materialCautions(judged),
  ...passCautions(judged),
  ...clearingCautions(judged),
  ...holdCautions(judged),
  ...spotCautions(judged),
  ...timeCautions(judged),
  ...focusCautions(judged),
  ...workshopCautions(judged),
  ...safetyCautions(judged),
];
