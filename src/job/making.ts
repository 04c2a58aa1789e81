import type { Problem } from '../core/errors.ts';
import type { HoldLimit } from '../core/hold/contract.ts';
import type { Basis, Limits, MaterialDef } from '../core/materials/contract.ts';
import { materials } from '../core/materials/index.ts';
import { type Judgement, judgeMaterial, stricter } from '../core/materials/judge.ts';
import { processes } from '../core/processes/index.ts';
import type { Motion } from '../core/time/motion.ts';
import type { WantedJob } from './schema.ts';
import { nearest } from './settings.ts';
import {
  UNMEASURED_MACHINE,
  UNMEASURED_PRESS,
  type Workshop,
  type WorkshopMachine,
  type WorkshopMaterial,
} from './workshop.ts';

/** Where a number about the making comes from. */
export type MakingOrigin = 'flag' | 'job' | 'workshop' | 'material' | 'default';

export interface Lens {
  readonly focalMm: number;
  readonly beamMm: number;
  readonly m2: number;
}

/** The machine in force, whole. */
export interface Machine extends Motion {
  readonly id: string | null;
  readonly wavelengthUm: number | null;
  readonly spotMm: number;
  readonly beam: 'pulse' | 'sweep';
  readonly kerfMm: number;
  readonly lens: Lens | null;
}

export type LimitName = 'minWallMm' | 'minLandMm' | 'minMarkMm' | 'minGapMm' | 'maxPoolMm';

/** The sheet in force. `kind` is what the limits were taken from, named or assumed. */
export interface Sheet {
  readonly id: string | null;
  readonly kind: string;
  /** True where no sheet was named and a common one is taken for granted. */
  readonly assumed: boolean;
  readonly judgement: Judgement | null;
  readonly thicknessMm: number | null;
  readonly batch: string | null;
  readonly confirmedBy: string | null;
  readonly depthMm: HoldLimit | null;
  readonly depthPerPassMm: HoldLimit | null;
  readonly limits: Readonly<Partial<Record<LimitName, HoldLimit>>>;
}

/** Everything known of how a plate will be made and printed; no part of it decides the bits but a known spot. */
export interface Making {
  readonly workshop: { readonly name: string; readonly sha256: string | null };
  readonly machine: Machine;
  /** True where the spot comes from a workshop file, a job or a flag: only then may it change the bits. */
  readonly spotKnown: boolean;
  readonly press: {
    readonly id: string | null;
    readonly kind: 'baren' | 'roller';
    readonly rollerRadiusMm: number;
  };
  readonly sheet: Sheet;
  /** Where each machine value comes from, for `workshop show`. */
  readonly origins: Readonly<Record<string, MakingOrigin>>;
}

/** A workshop file that was read. */
export interface KnownWorkshop {
  readonly workshop: Workshop;
  readonly sha256: string;
}

type Wanted = Pick<
  WantedJob,
  | 'process'
  | 'machine'
  | 'press'
  | 'material'
  | 'materialConfirmed'
  | 'spotMm'
  | 'beam'
  | 'kerfMm'
  | 'slotMinutes'
>;

const BASES: Readonly<Record<Basis, HoldLimit['basis']>> = {
  measured: 'measured',
  'common practice': 'common-practice',
  'from memory': 'from-memory',
};

/** One of a workshop's entries by its name, else the first; a name that is not there is a problem. */
function choose<Entry extends { id: string }>(
  entries: readonly Entry[],
  wanted: string | undefined,
  flag: string,
  problems: Problem[],
): Entry | null {
  if (wanted === undefined) return entries[0] ?? null;
  const found = entries.find(({ id }) => id === wanted);
  if (found) return found;
  const near = nearest(
    wanted,
    entries.map(({ id }) => id),
  );
  const known = entries.map(({ id }) => id).join(', ');
  problems.push({
    code: 'not-in-workshop',
    message: `--${flag}: the workshop has no "${wanted}"`,
    hint: near
      ? `Did you mean "${near}"?`
      : known
        ? `It has ${known}.`
        : 'Its file lists none: see `etchwright workshop init`.',
  });
  return null;
}

function machineOf(
  entry: WorkshopMachine | null,
  wanted: Wanted,
): { machine: Machine; origins: Record<string, MakingOrigin> } {
  const origins: Record<string, MakingOrigin> = {};
  const values: Record<string, unknown> = {};
  for (const [key, fallback] of Object.entries(UNMEASURED_MACHINE)) {
    const own = entry?.[key as keyof typeof entry];
    values[key] = own ?? fallback;
    origins[key] = own === undefined || own === null ? 'default' : 'workshop';
  }
  // a machine that is faster on the way out is not slower on the way back
  if (origins['returnSpeedMmS'] === 'default') values['returnSpeedMmS'] = values['speedMmS'];
  for (const key of ['spotMm', 'beam', 'kerfMm', 'slotMinutes'] as const)
    if (wanted[key] !== undefined) {
      values[key] = wanted[key];
      origins[key] = 'job';
    }
  return { machine: { ...values, id: entry?.id ?? null } as unknown as Machine, origins };
}

function known(own: number | undefined, general: Limits[keyof Limits]): HoldLimit | null {
  if (own !== undefined) return { mm: own, basis: 'measured' };
  return general ? { mm: general.value, basis: BASES[general.basis] } : null;
}

function sheetCalled(kind: string): MaterialDef {
  const def = Object.values<MaterialDef>(materials).find((entry) => entry.kind === kind);
  if (!def) throw new Error(`there is no kind of sheet called ${kind}`);
  return def;
}

const LIMIT_NAMES: readonly LimitName[] = ['minWallMm', 'minLandMm', 'minMarkMm', 'minGapMm', 'maxPoolMm'];

function sheetOf(own: WorkshopMaterial | null, wanted: Wanted, wavelengthUm: number | null): Sheet {
  const text = own?.kind ?? wanted.material;
  const judgement = text === undefined ? null : judgeMaterial(text, wavelengthUm);
  // what a workshop calls a sheet may give it away too; a name that means nothing here tells nothing
  const byName = own && judgeMaterial(own.id, wavelengthUm);
  const told = judgement && byName?.material ? stricter(judgement, byName) : judgement;
  const assumed = told?.material == null;
  const def: MaterialDef = told?.material ?? sheetCalled(processes[wanted.process].assumes);
  const limits: Partial<Record<LimitName, HoldLimit>> = {};
  for (const name of LIMIT_NAMES) {
    const limit = known(own?.[name], def.limits[name]);
    if (limit) limits[name] = limit;
  }
  return {
    id: own?.id ?? wanted.material ?? null,
    kind: def.kind,
    assumed,
    judgement: told,
    thicknessMm: own?.thicknessMm ?? null,
    batch: own?.batch ?? null,
    confirmedBy: wanted.materialConfirmed ?? own?.confirmedBy ?? null,
    depthMm: known(own?.depthMm, def.limits.depthMm),
    // of a sheet that is named but not known here nobody can say how deep a pass goes
    depthPerPassMm: known(own?.depthPerPassMm, assumed && told ? undefined : def.limits.depthPerPassMm),
    limits,
  };
}

/** Brings together what job, workshop and the kinds of sheet say of the making; all problems at once. */
export function resolveMaking(
  job: Wanted,
  file: KnownWorkshop | null,
): { readonly making: Making; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const workshop = file?.workshop ?? null;
  const entry = choose(workshop?.machines ?? [], job.machine, 'machine', problems);
  const press = choose(workshop?.presses ?? [], job.press, 'press', problems);
  const own = workshop?.materials.find(({ id }) => id === job.material) ?? null;
  if (own?.processes && !own.processes.includes(job.process))
    problems.push({
      code: 'sheet-for-other-process',
      message: `--material: the workshop keeps "${own.id}" for ${own.processes.join(' and ')}, not for ${job.process}`,
      hint: 'Name another sheet, or change its entry in the workshop file.',
    });
  const { machine, origins } = machineOf(entry, job);
  return {
    making: {
      workshop: { name: workshop?.name ?? 'unmeasured', sha256: file?.sha256 ?? null },
      machine,
      spotKnown: origins['spotMm'] !== 'default',
      press: {
        id: press?.id ?? null,
        kind: press?.kind ?? UNMEASURED_PRESS.kind,
        rollerRadiusMm: press?.rollerRadiusMm ?? UNMEASURED_PRESS.rollerRadiusMm,
      },
      sheet: sheetOf(own, job, machine.wavelengthUm),
      origins,
    },
    problems,
  };
}
