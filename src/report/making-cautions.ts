import { focusDepthMm, focusOf } from '../core/focus.ts';
import { MM_PER_INCH } from '../core/geometry.ts';
import { sensibleDpi } from '../core/spot/dpi.ts';
import type { Making } from '../job/making.ts';
import { caution } from './cautions.ts';
import { holdCautions } from './hold-cautions.ts';
import type { Judged } from './judged.ts';
import { passCautions } from './pass-cautions.ts';
import type { Caution } from './schema.ts';

/** 3723 → 62:03. */
const clock = (seconds: number): string =>
  `${Math.floor(Math.round(seconds) / 60)}:${String(Math.round(seconds) % 60).padStart(2, '0')}`;

const round = (value: number, digits: number): number => Number(value.toFixed(digits));

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

/** What helps a carriage that lacks room for its ramps: v = √(a (bed − w)) just fits, and turning where it does. */
function travelCure({ making, analysis: { time } }: Judged): string {
  const { bedMm, accelMmS2 } = making.machine;
  const speed = Math.floor(Math.sqrt(accelMmS2 * Math.max(0, bedMm.x - time.markedMm)));
  const turn = time.turned && `lay it turned by 90° (${clock(time.turned.totalS)} min)`;
  const slow = speed > 0 && `Set no more than ${speed} mm/s`;
  if (slow) return turn ? `${slow}, or ${turn}.` : `${slow}.`;
  return turn ? `L${turn.slice(1)}.` : 'Make the plate narrower.';
}

/** An hour is the longest a room that is shared likes to give at once; common practice. */
const LONG_S = 3600;

function timeCautions(judged: Judged): Caution[] {
  const { making, size, depth, analysis } = judged;
  const { time } = analysis;
  const { machine } = making;
  const cautions: Caution[] = [];
  const turned =
    time.turned !== null && time.turned.savesS > 60
      ? ` Turned by 90° it takes ${clock(time.turned.totalS)}.`
      : '';
  if (!time.fitsSlot)
    cautions.push(
      caution({
        code: 'slot-overrun',
        text: `${depth.passes === null ? 'One pass takes' : `${depth.passes} passes take`} about ${clock(time.totalS)} min, ${clock(-time.spareS)} more than the slot of ${clock(time.slotS)}`,
        value: round(time.totalS, 1),
        limit: time.slotS,
        unit: 's',
        cure:
          time.passesPerSlot >= 1
            ? `${time.passesPerSlot} ${time.passesPerSlot === 1 ? 'pass fits' : 'passes fit'} a slot: book more of them, or give a lower --dpi.${turned}`
            : `Not one pass fits a slot: give a lower --dpi or a smaller plate.${turned}`,
      }),
    );
  else if (time.totalS > LONG_S)
    cautions.push(
      caution({
        code: 'long-run',
        text: `This takes about ${clock(time.totalS)} min, more than an hour`,
        value: round(time.totalS, 1),
        limit: LONG_S,
        unit: 's',
        cure: `Talk to the staff before you book it (common practice).${turned}`,
      }),
    );
  else if (turned !== '')
    cautions.push(
      caution({
        code: 'turn-saves-time',
        severity: 'note',
        text: `The plate would be done ${clock(time.turned!.savesS)} min sooner with its other side along the scan`,
        cure: 'Lay it turned by 90°, if the grain of the sheet lets you.',
      }),
    );
  if (machine.speedMmS > time.bestSpeedMmS * 1.05 && time.rows > 0)
    cautions.push(
      caution({
        code: 'faster-than-best',
        severity: 'note',
        text: `At ${machine.speedMmS} mm/s the ramps cost more than the speed saves on a plate this narrow`,
        value: machine.speedMmS,
        limit: round(time.bestSpeedMmS, 1),
        unit: 'mm/s',
        cure: `About ${Math.round(time.bestSpeedMmS)} mm/s is soonest done.`,
      }),
    );
  const severity = making.origins['bedMm'] === 'workshop' ? 'stop' : 'warn';
  const { widthMm, heightMm } = size;
  const bed = machine.bedMm;
  const lies = (widthMm <= bed.x && heightMm <= bed.y) || (widthMm <= bed.y && heightMm <= bed.x);
  if (!lies)
    cautions.push(
      caution({
        code: 'larger-than-bed',
        severity,
        text: `The plate of ${round(widthMm, 1)} × ${round(heightMm, 1)} mm does not lie on a bed of ${bed.x} × ${bed.y} mm`,
        cure: 'Make it smaller, or in parts.',
      }),
    );
  else if (widthMm > bed.x || heightMm > bed.y)
    cautions.push(
      caution({
        code: 'lies-turned-only',
        text: `The plate of ${round(widthMm, 1)} × ${round(heightMm, 1)} mm lies on a bed of ${bed.x} × ${bed.y} mm only turned by 90°`,
        cure: 'Make it turned, with --rotate 90, or lay the file turned at the machine.',
      }),
    );
  else if (!time.fitsTravel)
    cautions.push(
      caution({
        code: 'travel-beyond-bed',
        text: `With its ramps the carriage needs ${round(time.travelMm, 0)} mm; the bed gives ${bed.x} mm`,
        value: round(time.travelMm, 1),
        limit: bed.x,
        unit: 'mm',
        cure: travelCure(judged),
      }),
    );
  return cautions;
}

/** A spot a fifth wider is seen in the tone; common practice among lens makers. */
const GROWTH = 1.2;

function focusCautions({ making }: Judged): Caution[] {
  const { lens, wavelengthUm } = making.machine;
  if (lens === null || wavelengthUm === null) return [];
  const { rayleighMm } = focusOf({ ...lens, wavelengthUm });
  const off = focusDepthMm(GROWTH, rayleighMm);
  const bow = round(2 * off, 2);
  return [
    caution({
      code: 'focus',
      severity: 'note',
      text: `The spot stays within a fifth of its size ${round(off, 2)} mm above and below the focus: a sheet may bow by ${bow} mm if focused half-way up`,
      value: bow,
      unit: 'mm',
      cure:
        off < 0.2
          ? 'There is little to spare: hold the sheet flat and check the focus at all four corners.'
          : 'Check the sheet with a straight edge before it goes in.',
    }),
  ];
}

/** How the pitch suits the spot: marks that burn into each other, or rows that leave ridges between them. */
function spotCautions({ dpi, making, lineArt }: Judged): Caution[] {
  const { spotMm, beam } = making.machine;
  const sensible = sensibleDpi(spotMm, beam);
  const spot = `a spot of ${spotMm} mm${making.spotKnown ? '' : ' (from memory)'}`;
  const value = round((spotMm * dpi) / MM_PER_INCH, 3);
  if (lineArt && dpi < sensible.solidFromDpi)
    return [
      caution({
        code: 'ridges',
        severity: 'note',
        text: `With ${spot} solids keep ridges between the rows at ${dpi} dpi`,
        value,
        limit: round((spotMm * sensible.solidFromDpi) / MM_PER_INCH, 3),
        unit: 'px',
        cure: `From --dpi ${sensible.solidFromDpi} on they are cleared without ridges.`,
      }),
    ];
  if (lineArt || dpi < sensible.mergedFromDpi) return [];
  return [
    caution({
      code: 'finer-than-spot',
      severity: 'note',
      text: `With ${spot}, ${value} pixels wide, single pixels burn into each other`,
      value,
      limit: round((spotMm * sensible.mergedFromDpi) / MM_PER_INCH, 3),
      unit: 'px',
      cure: `A pitch about as wide as the spot, --dpi ${sensible.dpi}, draws as much in less time.`,
    }),
  ];
}

/** What machine, material and press will do to these bits, said to people; in a fixed order. */
export const makingCautions = (judged: Judged): Caution[] => [
  ...materialCautions(judged),
  ...passCautions(judged),
  ...holdCautions(judged),
  ...spotCautions(judged),
  ...timeCautions(judged),
  ...focusCautions(judged),
  ...workshopCautions(judged),
];
