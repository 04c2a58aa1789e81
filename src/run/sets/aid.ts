import { MM_PER_INCH } from '../../core/geometry.ts';
import type { Inset } from '../../core/plate.ts';
import { processes } from '../../core/processes/index.ts';
import type { AidDef, RegisterPlace } from '../../core/register/contract.ts';
import { type AidKind, aids } from '../../core/register/index.ts';
import { registerInsets, registerShelf } from '../../core/register/insets.ts';
import { lightnessOf } from '../../core/separations/lab.ts';
import { stretchOf } from '../../job/plan.ts';
import type { SetReport } from '../../report/set/schema.ts';
import { tidy } from '../../report/tidy.ts';
import type { Waste } from '../plate/request.ts';
import type { Division } from './division.ts';
import type { PlateJob, SeparateRequest } from './request.ts';

/** Thinner lines of a mark are hard to lay by. */
const SEEN_MM = 0.2;

type Asked = Pick<SeparateRequest, 'method' | 'settings' | 'base'>;

export const aidOf = ({ settings: { register } }: Pick<Asked, 'settings'>): AidKind | null =>
  register === 'none' ? null : register;

/** The narrowest line that prints for certain: what the sheet holds, and what the spot takes from the sides of a wall. */
function sureLineMm({ job, making }: PlateJob): number {
  const { etches, holds, screenLimits } = processes[job.process];
  const limits: Readonly<Record<string, { readonly mm: number }>> = making.sheet.limits;
  if (etches === 'ink') return limits[screenLimits.etched]?.mm ?? 0;
  const wall = holds.find(({ side, measure }) => side === 'kept' && measure !== 'dots');
  const eatenMm = Math.max(0, making.machine.spotMm - MM_PER_INCH / job.dpi);
  return (wall ? (limits[wall.limit]?.mm ?? 0) : 0) + eatenMm;
}

/** Where the marks of an aid come on a plate, and how wide their lines are. */
export function placeOf(kind: AidKind, { layout }: Division, plate: PlateJob): RegisterPlace {
  const aid: AidDef = aids[kind];
  const { dpi, borderMm, process } = plate.job;
  // a pixel more, which drawing may lose
  const wantedMm = Math.max(SEEN_MM, sureLineMm(plate) + MM_PER_INCH / dpi);
  return {
    widthMm: layout.widthMm,
    heightMm: layout.heightMm,
    borderMm,
    dpi,
    process: processes[process],
    lineMm: Math.min(wantedMm, aid.mostLineMm),
    stretch: stretchOf(plate.job),
  };
}

/** The plate that all others are read against: the key of the method, else the darkest. */
function firstPlate({ method }: Asked, { inks, plates }: Division): number {
  const way = method?.def.way(method.params);
  const [key] = way?.draws === 'areas' ? way.lines(inks) : [];
  if (key !== undefined) return key;
  const lightness = plates.map(({ light }) => lightnessOf(light));
  return lightness.indexOf(Math.min(...lightness));
}

/** True where an earlier plate has cut border and marks into the same block. */
const isCut = ({ method }: Asked, index: number): boolean => (method?.def.oneBlock ?? false) && index > 0;

/**
 * What stands in the border of a plate of a set; undefined where nothing special does. Of one block the first cut alone
 * engraves the border. EtchError as `registerInsets` throws them.
 */
export function wasteOf(
  request: Asked,
  division: Division,
  index: number,
  plate: PlateJob,
): Waste | undefined {
  if (isCut(request, index)) return { insets: [], isCut: true };
  const kind = aidOf(request);
  if (kind === null) return undefined;
  const side = index === firstPlate(request, division) || request.method?.def.oneBlock ? 'first' : 'second';
  return { insets: registerInsets(kind, placeOf(kind, division, plate), side), isCut: false };
}

/** What is engraved into a plate in a pass by itself; empty for aids without shelves. */
export function shelfOf(request: Asked, division: Division, index: number, plate: PlateJob): Inset[] {
  const kind = aidOf(request);
  if (kind === null || isCut(request, index)) return [];
  return registerShelf(kind, placeOf(kind, division, plate));
}

/** What the aid of a set is and costs, for its report; null for none. */
export function aidFacts(request: Asked, division: Division, jobs: readonly PlateJob[]): SetReport['aid'] {
  const kind = aidOf(request);
  if (kind === null) return null;
  const aid: AidDef = aids[kind];
  const { layout, plates } = division;
  const { box } = layout;
  const places = jobs.map((job) => placeOf(kind, division, job));
  const shelf = aid.shelf(places[0]!);
  // scales are read where one printing lies over another by another plate
  const areRead = aid.hasScales && !request.method?.def.oneBlock && !division.cut && plates.length > 1;
  return {
    kind,
    trueMm: aid.achievableMm,
    needsMm: tidy(Math.max(...places.map(({ lineMm }) => aid.room(lineMm).borderMm))),
    borderMm: request.base.job.borderMm,
    wasteShare: tidy(1 - (box.widthPx * box.heightPx) / (layout.widthPx * layout.heightPx)),
    first: areRead ? plates[firstPlate(request, division)]!.name : null,
    shelfMm: shelf && { least: shelf.leastDepthMm, most: shelf.mostDepthMm },
    lines: jobs.map((job, index) => ({
      plate: plates[index]!.name,
      lineMm: tidy(places[index]!.lineMm),
      sureMm: tidy(sureLineMm(job)),
    })),
  };
}
