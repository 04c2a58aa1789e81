import type { Depth } from '../job/hold-limits.ts';
import type { Making } from '../job/making.ts';
import { clearingSection, planOf } from './clearing.ts';
import type { JudgedPlate } from './judged.ts';
import type { Report } from './schema.ts';
import { tidy } from './tidy.ts';

/** What a report needs to know of the picture; the reader's facts have more. */
export interface InputFacts {
  readonly name: string;
  readonly sha256: string;
  readonly format: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly ppiX: number | null;
  readonly ppiY: number | null;
  readonly uprightWidthPx: number;
  readonly uprightHeightPx: number;
  readonly orientation: number;
  readonly alpha: boolean;
  readonly profile: string | null;
  readonly depthBits: 8 | 16;
  readonly frames: number;
}

/** What the sections about the making are made from. */
export interface JudgedParts {
  readonly dpi: number;
  readonly making: Making;
  readonly depth: Depth;
  readonly analysis: JudgedPlate;
}

export function passesOf({ dpi, depth, analysis }: JudgedParts): Report['passes'] {
  const { passes, depthMm, depthPerPassMm, basis } = depth;
  const { time, clearing } = analysis;
  if (passes === null) return null;
  return {
    count: passes,
    depthMm,
    depthPerPassMm: depthPerPassMm === null ? null : tidy(depthPerPassMm),
    basis,
    plan: clearing
      ? planOf(clearing, dpi, time.perPassS)
      : Array.from({ length: passes }, () => ({ dpi, file: null, timeS: tidy(time.perPassS) })),
    clearing: clearing ? clearingSection(clearing, time.totalS) : null,
  };
}

/** Which numbers the minutes rest on; the machine's own figure rules. */
export function timeOf({ making, analysis, depth }: JudgedParts): Report['time'] {
  const { time } = analysis;
  const { machine } = making;
  const known = making.origins['speedMmS'] === 'workshop';
  return {
    perPassS: tidy(time.perPassS),
    totalS: tidy(time.totalS),
    rows: time.rows,
    slotS: time.slotS,
    fits: time.fitsSlot,
    basis:
      `${machine.speedMmS} mm/s and ${machine.accelMmS2} mm/s² ${known ? 'as the workshop says' : 'from memory'}, ` +
      `${depth.passes === null ? 'for one pass' : depth.passes === 1 ? '1 pass' : `${depth.passes} passes`}; the machine’s own figure rules`,
  };
}

export const holdOf = ({ analysis }: JudgedParts): Report['hold'] =>
  analysis.hold && {
    checks: analysis.hold.map(({ code, limitMm, basis, worstMm, count, areaMm2, share, places }) => ({
      code,
      limitMm: Number.isFinite(limitMm) ? tidy(limitMm) : null,
      basis,
      worstMm: worstMm === null ? null : tidy(worstMm),
      count,
      areaMm2: tidy(areaMm2),
      share: tidy(share),
      places: places.map(({ xMm, yMm, widthMm, heightMm }) => ({
        xMm: tidy(xMm),
        yMm: tidy(yMm),
        widthMm: tidy(widthMm),
        heightMm: tidy(heightMm),
      })),
    })),
  };

export function materialOf({ sheet }: Making): Report['material'] {
  const { id, kind, assumed, batch, confirmedBy } = sheet;
  return id === null ? null : { id, kind: assumed ? null : kind, batch, confirmedBy };
}

export const workshopOf = ({ workshop, machine, press }: Making): Report['workshop'] => ({
  name: workshop.name,
  sha256: workshop.sha256,
  machine: machine.id,
  press: press.id,
});

export function inputOf(
  facts: InputFacts,
  permission: string | undefined,
  listed: string | null,
): Report['input'] {
  const {
    ppiX,
    ppiY,
    name,
    sha256,
    format,
    widthPx,
    heightPx,
    orientation,
    alpha,
    profile,
    depthBits,
    frames,
  } = facts;
  return {
    name,
    sha256,
    format,
    widthPx,
    heightPx,
    ppi: ppiX !== null && ppiY !== null ? { x: tidy(ppiX), y: tidy(ppiY) } : null,
    orientation,
    alpha,
    profile,
    depthBits,
    frames,
    listed,
    permission: permission ?? null,
  };
}
