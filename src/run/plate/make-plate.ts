import { type Bitmap, createBitmap } from '../../core/bitmap.ts';
import { MM_PER_INCH, type PlateLayout } from '../../core/geometry.ts';
import { stretchedBits } from '../../core/register/stretch.ts';
import type { AnyScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import { depthOf, holdLimits } from '../../job/hold-limits.ts';
import type { Making } from '../../job/making.ts';
import type { Plan } from '../../job/plan.ts';
import type { Job } from '../../job/schema.ts';
import type { JudgedPlate } from '../../report/judged.ts';
import type { Report } from '../../report/schema.ts';
import type { Pool } from '../pool.ts';
import { analysePlate, judgeTone } from './analyse.ts';
import { type Made, makePlate } from './bands.ts';
import type { BuiltScreen } from './build-screen.ts';
import type { RunContext } from './context.ts';
import { type OpenFile, openSink } from './plate-file.ts';
import { findingChecks } from './screen-findings.ts';
import { type BitsSetup, type JudgeSetup, type MakeSetup, newPlateId } from './setup.ts';
import { checkToneFiles, makeTonePlate } from './tone-bands.ts';
import type { GreySource } from './tone-source.ts';
import { writePlates } from './write-plates.ts';

/** A plate, what is made of it, and how its files come to be: whole and read back, under temporary names. */
export interface MadePlate extends Made {
  /** What threads know of its bits; null for a plate of tone, which has none. */
  readonly setup: JudgeSetup | null;
  /** Judges it, and tells the time of so many passes. */
  judge(passes: number | null): Promise<JudgedPlate>;
  writeFiles(): Promise<Report['files']>;
}

/** Ink as it is wanted on the print, on a plate that may be stretched. */
const fitted = (ink: Bitmap, { box }: PlateLayout): Bitmap =>
  ink.widthPx === box.widthPx && ink.heightPx === box.heightPx
    ? ink
    : stretchedBits(ink, box.widthPx, box.heightPx);

/** The block as the cuts before and this one leave it, in memory that threads share. */
function blockAfter({ bitmap, spot, holdLimits }: JudgeSetup, before: Bitmap): JudgeSetup {
  const after = createBitmap(bitmap.widthPx, bitmap.heightPx, true);
  for (let i = 0; i < after.data.length; i++) after.data[i] = bitmap.data[i]! | before.data[i]!;
  return { id: newPlateId(), bitmap: after, spot, holdLimits };
}

/** Makes a plate of marks or of tone, up to its files; of one block, `before` is what was etched of it already. */
export async function makeAny(
  id: number,
  job: Job,
  making: Making,
  plan: Plan,
  built: BuiltScreen,
  source: GreySource,
  { ink, before }: { readonly ink: Bitmap | null; readonly before: Bitmap | null },
  head: PlateHead,
  open: readonly OpenFile[],
  pool: Pool,
  context: RunContext,
): Promise<MadePlate> {
  const { signal, progress } = context;
  const def = screens[job.screen] as unknown as AnyScreenDef;
  const parts: MakeSetup = {
    id,
    ...source,
    plan,
    head,
    formats: open.map(({ kind }) => kind),
  };
  if (def.draws === 'tone') {
    const setup = { ...parts, draws: def.draws };
    pool.add(setup);
    const made = await makeTonePlate(setup, open, pool, signal, progress);
    return {
      ...made,
      setup: null,
      judge: async (passes) => judgeTone(plan.layout, making, { passes }),
      writeFiles: () => checkToneFiles(setup, open, made.crcs, pool, signal, progress),
    };
  }
  const { spotMm, beam } = making.machine;
  const setup: BitsSetup = {
    ...parts,
    draws: def.draws,
    built,
    // narrowing draws half a pixel off: then the picture has to go the long way
    ink: def.forLineArt && plan.narrowFor === null ? ink && fitted(ink, plan.layout) : null,
    bitmap: createBitmap(head.widthPx, head.heightPx, true),
    spot: { spotMm, beam, pitchMm: MM_PER_INCH / job.dpi },
    holdLimits: holdLimits(making, depthOf(job, making)),
  };
  pool.add(setup);
  const reduces = plan.layout.x.stepPx > 1 || plan.layout.y.stepPx > 1;
  const sinks = await Promise.all(open.map((file) => openSink(file, head)));
  const made = await makePlate(setup, sinks, pool, def.forLineArt && reduces, signal, progress);
  const { process, hold } = job;
  return {
    ...made,
    setup,
    judge: async (passes) => {
      const block = before && hold ? blockAfter(setup, before) : null;
      if (block) pool.add(block);
      const judged = await analysePlate(setup, made.rowBands, making, pool, signal, {
        process,
        mirrored: plan.finish.mirror,
        hold,
        turned: hold,
        depth: { passes },
        ...(block ? { block } : {}),
      }).finally(() => {
        if (block) pool.drop(block.id);
      });
      const gaveUp = findingChecks(made.found, plan.layout.box, setup.spot.pitchMm);
      return { ...judged, hold: judged.hold && [...judged.hold, ...gaveUp] };
    },
    writeFiles: () => writePlates(open, sinks, id, head, pool, context),
  };
}
