import type { AnyScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import type { Slot } from '../../io/atomic.ts';
import type { Making } from '../../job/making.ts';
import type { Report } from '../../report/schema.ts';
import { writeLooks } from '../looking/looking.ts';
import type { PrintAs } from '../looking/proof.ts';
import { writeOutlineFiles } from '../outline/page.ts';
import type { Pool } from '../pool.ts';
import type { RunContext } from './context.ts';
import type { Decided } from './decide.ts';
import type { OpenPlate, PrepareRequest } from './request.ts';
import type { DrawnPlate, ToldPlate } from './tell-plate.ts';
import { type KnownTones, toneCurves } from './tone-curves.ts';

/** Writes every file of a plate, under its temporary name, and gives the report of them all. */
export async function writeWhole(
  request: PrepareRequest,
  open: OpenPlate,
  plate: DrawnPlate,
  told: ToldPlate,
  print: Omit<PrintAs, 'settings'>,
  pool: Pool,
  { signal, progress }: RunContext,
): Promise<Report> {
  const { name, looking, making, stored } = request;
  const { decided, picture, planned, made, clears } = plate;
  const { plan, strip } = planned;
  const def = screens[decided.job.screen] as unknown as AnyScreenDef;
  const seen = {
    setup: made.setup,
    source: picture.source,
    print,
    checks: told.analysis.hold ?? [],
    cautions: told.cautions,
    fire: stored.fire,
  };
  const sheet = {
    name,
    id: null,
    thicknessMm: making.sheet.thicknessMm,
    tone: def.forLineArt ? {} : toneCurves(picture.facts, plan, knownTones(decided, def, making)),
  };
  const writePlate = async (): Promise<Report['files']> => [
    ...(await made.writeFiles()),
    ...((await clears?.writeFiles()) ?? []),
    ...(told.outline ? await writeOutlineFiles(open.outline, told.outline.page(name)) : []),
  ];
  const report = await writeLooks(
    open.looks,
    seen,
    looking,
    sheet,
    plan.layout,
    writePlate,
    told.reportWith,
    pool,
    signal,
    progress,
  );
  if (strip && open.strip) await writeJson(open.strip, strip.layout);
  if (open.report) await writeJson(open.report, report);
  return report;
}

/** What is known of the way of a plate's tones, for its sheet. */
function knownTones({ job, built, measured }: Decided, def: AnyScreenDef, making: Making): KnownTones {
  const allowsForSpot = job.compensate && making.spotKnown;
  return {
    spot: measured ? null : built.curve,
    measured: measured?.knots ?? null,
    arrives: !measured && def.draws === 'bits' && def.compensates === 'itself' && allowsForSpot,
  };
}

/** Indented, so that two can be compared line by line. */
const writeJson = (slot: Slot, value: Report | TestPlateLayout): Promise<void> =>
  slot.write([new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`)]);
