import { materials } from '../core/materials/index.ts';
import { UNMEASURED_MACHINE, UNMEASURED_PRESS, type Workshop } from './workshop.ts';

/**
 * A workshop file to begin with. It holds what people can read off a machine or a timetable and nothing that
 * must be measured: a number written there counts as known, and a guess must not look like one.
 */
export function startingWorkshop(schemaFile: string): Record<string, unknown> {
  const { bedMm, slotMinutes } = UNMEASURED_MACHINE;
  return {
    $schema: `./${schemaFile}`,
    version: 1,
    name: 'our workshop',
    machines: [{ id: 'laser', bedMm, slotMinutes }],
    materials: [
      { id: 'our wood', kind: 'wood', processes: ['relief'] },
      { id: 'our acrylic', kind: 'acrylic', processes: ['intaglio'] },
    ],
    presses: [{ id: 'press', kind: UNMEASURED_PRESS.kind }],
    curves: [],
    papers: [],
  } satisfies Record<keyof Workshop, unknown>;
}

/** One value in force, for people. */
export interface InForce {
  readonly what: string;
  readonly value: string;
  /** `workshop`, or what it is taken from instead. */
  readonly origin: string;
}

const shown = (value: unknown): string =>
  value === null || value === undefined
    ? 'not known'
    : typeof value === 'object'
      ? Object.values(value).join(' × ')
      : String(value);

const LIMITS = [
  'depthMm',
  'depthPerPassMm',
  'minWallMm',
  'minLandMm',
  'minMarkMm',
  'minGapMm',
  'maxPoolMm',
] as const;

/** Every value in force for each machine, press and sheet, and where it comes from. */
export function describeWorkshop(workshop: Workshop | null): InForce[] {
  const machines = workshop && workshop.machines.length > 0 ? workshop.machines : [{ id: 'machine' }];
  const presses = workshop && workshop.presses.length > 0 ? workshop.presses : [{ id: 'press' }];
  const rows: InForce[] = [];
  const add = (what: string, own: unknown, fallback: unknown, otherwise: string): void =>
    void rows.push({
      what,
      value: shown(own ?? fallback),
      origin: own === undefined || own === null ? otherwise : 'workshop',
    });
  add('name', workshop?.name, 'unmeasured', 'default');
  for (const machine of machines)
    for (const [key, fallback] of Object.entries(UNMEASURED_MACHINE))
      add(
        `${machine.id}.${key}`,
        (machine as Record<string, unknown>)[key],
        fallback,
        'default, from memory',
      );
  for (const press of presses)
    for (const [key, fallback] of Object.entries(UNMEASURED_PRESS))
      add(`${press.id}.${key}`, (press as Record<string, unknown>)[key], fallback, 'default, from memory');
  for (const sheet of workshop?.materials ?? []) {
    add(`${sheet.id}.kind`, sheet.kind, null, '');
    for (const key of LIMITS) {
      const general = materials[sheet.kind].limits as Partial<
        Record<string, { value: number; basis: string }>
      >;
      add(
        `${sheet.id}.${key}`,
        sheet[key],
        general[key]?.value,
        general[key] ? `${sheet.kind}, ${general[key].basis}` : 'not known',
      );
    }
    add(`${sheet.id}.confirmedBy`, sheet.confirmedBy, null, 'nobody yet');
  }
  return rows;
}
