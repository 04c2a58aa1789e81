import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { clock, rounded } from '../words.ts';
import { caution } from './index.ts';

/** Dose is power ÷ (speed × line pitch); half the speed is about twice the depth, from memory. */
const DEEPER = 'A slower beam etches deeper and may char: try it on an offcut first.';

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
const TALK_FIRST = 'Talk to the staff before you book more than an hour (common practice).';

/** What minutes, travel and bed give rise to. */
export function timeCautions(judged: Judged): Caution[] {
  const { making, size, depth, analysis } = judged;
  const { time } = analysis;
  const { machine } = making;
  const cautions: Caution[] = [];
  const turned =
    time.turned !== null && time.turned.savesS > 60
      ? ` Turned by 90° it takes ${clock(time.turned.totalS)}.`
      : '';
  const long = time.totalS > LONG_S ? ` ${TALK_FIRST}` : '';
  if (time.rows === 0)
    cautions.push(
      caution({
        code: 'nothing-to-engrave',
        severity: 'note',
        text: 'Nothing is etched on this plate: it needs no engraving, and no minutes are counted for it',
        value: 0,
        unit: 's',
        cure: 'Leave its file out at the machine; what is cut is cut as it is.',
      }),
    );
  if (!time.fitsSlot)
    cautions.push(
      caution({
        code: 'slot-overrun',
        text: `${depth.passes === null ? 'One pass takes' : `${depth.passes} passes take`} about ${clock(time.totalS)} min, ${clock(-time.spareS)} more than the slot of ${clock(time.slotS)}`,
        value: rounded(time.totalS, 1),
        limit: time.slotS,
        unit: 's',
        cure:
          time.passesPerSlot >= 1
            ? `${time.passesPerSlot} ${time.passesPerSlot === 1 ? 'pass fits' : 'passes fit'} a slot: book more of them, or make the plate at a lower --dpi.${turned}${long}`
            : `Not one pass fits a slot: make the plate at a lower --dpi, or smaller.${turned}${long}`,
      }),
    );
  else if (time.totalS > LONG_S)
    cautions.push(
      caution({
        code: 'long-run',
        text: `This takes about ${clock(time.totalS)} min, more than an hour`,
        value: rounded(time.totalS, 1),
        limit: LONG_S,
        unit: 's',
        cure: `${TALK_FIRST}${turned}`,
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
        limit: rounded(time.bestSpeedMmS, 1),
        unit: 'mm/s',
        cure: `About ${Math.round(time.bestSpeedMmS)} mm/s is soonest done. ${DEEPER}`,
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
        text: `The plate of ${rounded(widthMm, 1)} × ${rounded(heightMm, 1)} mm does not lie on a bed of ${bed.x} × ${bed.y} mm`,
        cure: 'Make it smaller, or in parts.',
      }),
    );
  else if (widthMm > bed.x || heightMm > bed.y)
    cautions.push(
      caution({
        code: 'lies-turned-only',
        text: `The plate of ${rounded(widthMm, 1)} × ${rounded(heightMm, 1)} mm lies on a bed of ${bed.x} × ${bed.y} mm only turned by 90°`,
        cure: 'Make it turned, with --rotate 90, or lay the file turned at the machine.',
      }),
    );
  else if (!time.fitsTravel)
    cautions.push(
      caution({
        code: 'travel-beyond-bed',
        text: `With its ramps the carriage needs ${rounded(time.travelMm, 0)} mm; the bed gives ${bed.x} mm`,
        value: rounded(time.travelMm, 1),
        limit: bed.x,
        unit: 'mm',
        cure: `${travelCure(judged)} ${DEEPER}`,
      }),
    );
  return cautions;
}
