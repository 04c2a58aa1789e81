import { type Bitmap, countBits } from '../../core/bitmap.ts';
import { clearedGaps } from '../../core/clearing/gaps.ts';
import { blankMask, nestMasks } from '../../core/clearing/mask.ts';
import type { ClearingStep } from '../../core/clearing/plan.ts';
import { mmFor } from '../../core/geometry.ts';
import { widthPx } from '../../core/hold/widths.ts';
import { estimateInTurn } from '../../core/time/estimate.ts';
import { passesFor } from '../../core/time/passes.ts';
import type { FileSet } from '../../io/atomic.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import type { Clearing } from '../../job/clearing.ts';
import type { Making } from '../../job/making.ts';
import type { Job } from '../../job/schema.ts';
import type { Cleared, ClearingPlate } from '../../report/clearing.ts';
import type { JudgedPlate } from '../../report/judged.ts';
import type { Report } from '../../report/schema.ts';
import type { Pool } from '../pool.ts';
import type { RunContext } from './context.ts';
import { type FinishedPlate, finishDrawn } from './drawn-plate.ts';
import { type OpenFile, openPlateFiles } from './plate-file.ts';
import type { JudgeSetup } from './setup.ts';

/** A plate whose bits are finished, and what its clearing plates are made with. */
export interface ClearingParts {
  readonly setup: JudgeSetup;
  readonly mirrored: boolean;
  readonly job: Job;
  readonly making: Making;
  readonly clearing: Clearing;
  readonly stored: Pick<PlateHead, 'fire' | 'tiff'>;
  /** First file of the plate itself; null where none is written. */
  readonly fineFile: string | null;
  /** Files of each step's plate, open under their temporary names; none where nothing is written. */
  readonly open: readonly (readonly OpenFile[])[];
}

/** The clearing plates of a relief, drawn and judged; their files end with `writeFiles`. */
export interface MadeClearing {
  readonly cleared: Cleared;
  /** All plates, one after the other. */
  readonly time: JudgedPlate['time'];
  writeFiles(): Promise<Report['files']>;
  drop(): void;
}

/** Opens the files of all clearing plates that there may be: `ferry.clear1.plate.png` and so on. */
export async function openClearingFiles(
  set: FileSet,
  folder: string,
  stem: string,
  kinds: readonly FormatKind[],
  clearing: Clearing | null,
): Promise<OpenFile[][]> {
  const files: OpenFile[][] = [];
  for (const n of clearing?.plan.steps.keys() ?? [])
    files.push(await openPlateFiles(set, folder, `${stem}.clear${n + 1}`, kinds));
  return files;
}

/** The masks of all steps, each within the one before; those for which the plate has no gap wide enough are left out. */
async function drawMasks({ setup, clearing }: ClearingParts, pool: Pool): Promise<Bitmap[]> {
  const { bitmap, spot } = setup;
  const masks = clearing.plan.steps.map(() => blankMask(bitmap, clearing.ratio, true));
  const size = ({ insetMm, gapsOverMm }: ClearingStep) => ({
    ratio: clearing.ratio,
    insetPx: insetMm / spot.pitchMm,
    gapsOverPx: widthPx('etched', gapsOverMm, spot),
  });
  const drawn = clearing.plan.steps.map((step, n) =>
    pool.run({ do: 'clear', plate: setup.id, args: [size(step), masks[n]!] }),
  );
  const done = await Promise.allSettled(drawn);
  for (const result of done) if (result.status === 'rejected') throw result.reason;
  nestMasks(masks);
  return masks.filter(({ data }) => countBits(data) > 0);
}

/** Draws, finishes and judges the clearing plates of a finished relief. `fine` is the time of the passes of the plate itself. */
export async function makeClearing(
  parts: ClearingParts,
  fine: JudgedPlate['time'],
  pool: Pool,
  context: RunContext,
): Promise<MadeClearing> {
  const { setup, job, making, clearing, stored } = parts;
  const { finePasses } = clearing.plan;
  const masks = await drawMasks(parts, pool);
  context.signal.throwIfAborted();
  const plates: FinishedPlate[] = [];
  const drop = (): void => {
    for (const plate of plates) plate.drop();
  };
  try {
    const steps = clearing.plan.steps.slice(0, masks.length);
    // nobody wants the files of plates that have nothing on them
    for (const { slot } of parts.open.slice(steps.length).flat()) await slot.discard();
    const plan = { finePasses, steps };
    const groundMm = clearing.finePassMm * finePasses;
    const gaps = await gapsOf({ ...parts, clearing: { ...clearing, plan } }, masks, groundMm, pool);
    const told: ClearingPlate[] = [];
    const runs: { passes: number; time: JudgedPlate['time'] }[] = [];
    for (const [n, step] of steps.entries()) {
      context.signal.throwIfAborted();
      const mask = masks[n]!;
      const etched = countBits(mask.data) / (mask.widthPx * mask.heightPx);
      const drawn = {
        bitmap: mask,
        // what is drawn is what is fired, as the plate lies: nothing is turned over or mirrored again
        finish: { etches: 'ink', border: 'kept', mirror: false } as const,
        dpi: clearing.dpi,
        packing: 'runs' as const,
        stored,
      };
      const open = parts.open[n] ?? [];
      const plate = await finishDrawn(drawn, open, making, pool, context);
      plates.push(plate);
      const { time } = await plate.judge(job.process, { passes: step.passes }, true);
      runs.push({ passes: step.passes, time });
      const covered = gaps.filter(({ widthMm }) => widthMm > step.gapsOverMm);
      const { bitsSha256 } = plate;
      told.push({ step, file: open[0]?.name ?? null, etched, perPassS: time.perPassS, bitsSha256, covered });
    }
    const time = estimateInTurn([{ passes: finePasses, time: fine }, ...runs], fine.slotS);
    const first = { widthPx: masks[0]?.widthPx ?? 0, heightPx: masks[0]?.heightPx ?? 0 };
    const residueMm = {
      x: mmFor(first.widthPx, clearing.dpi) - mmFor(setup.bitmap.widthPx, job.dpi),
      y: mmFor(first.heightPx, clearing.dpi) - mmFor(setup.bitmap.heightPx, job.dpi),
    };
    const reachedMm = steps.at(-1)?.toDepthMm ?? groundMm;
    const withoutS = passesFor(reachedMm, clearing.finePassMm) * fine.perPassS;
    return {
      cleared: {
        clearing,
        fineFile: parts.fineFile,
        plates: told,
        size: { ...first, residueMm },
        gaps,
        withoutS,
      },
      time,
      drop,
      async writeFiles() {
        const files: Report['files'] = [];
        for (const plate of plates) files.push(...(await plate.writeFiles('clearing')));
        return files;
      },
    };
  } catch (error) {
    drop();
    throw error;
  }
}

/** The gaps that the plate's own passes leave too shallow, and what they get; places as the print shows them. */
async function gapsOf(
  { setup, mirrored, clearing }: ClearingParts,
  masks: readonly Bitmap[],
  groundMm: number,
  pool: Pool,
): Promise<Cleared['gaps']> {
  const { bitmap, spot } = setup;
  const overMm = clearing.plan.steps[0]?.gapsOverMm;
  if (overMm === undefined) return [];
  const found = await pool.run({ do: 'gaps', plate: setup.id, args: [overMm] });
  const cellMm = clearing.ratio * spot.pitchMm;
  const plateMm = bitmap.widthPx * spot.pitchMm;
  return clearedGaps(found, clearing.plan, masks, { ...clearing, cellMm }, clearing.neededDepthMm)
    .filter(({ neededMm }) => neededMm > groundMm)
    .sort((a, b) => b.widthMm - a.widthMm)
    .map((gap) => (mirrored ? { ...gap, xMm: plateMm - gap.xMm } : gap));
}
