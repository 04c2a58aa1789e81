import type { HoldCheck, HoldNeed } from '../../core/hold/contract.ts';
import { processes } from '../../core/processes/index.ts';
import { estimateTime } from '../../core/time/estimate.ts';
import type { Extents } from '../../core/time/extents.ts';
import type { Depth } from '../../job/hold-limits.ts';
import type { Making } from '../../job/making.ts';
import type { JudgedPlate } from '../../report/judged.ts';
import type { Pool } from '../pool.ts';
import { bandsIn, type JudgeSetup } from './setup.ts';

/** Needs that share work stay together: what is too thin on one side is looked for once. */
function groups(needs: readonly HoldNeed[]): HoldNeed[][] {
  const bySide = new Map<string, HoldNeed[]>();
  for (const need of needs) {
    const key = `${need.side} ${need.measure === 'wide' ? 'wide' : 'thin'}`;
    bySide.set(key, [...(bySide.get(key) ?? []), need]);
  }
  return [...bySide.values()];
}

/** A mirrored plate is measured as it lies; people are told places as the print shows them. */
export function printReading(checks: readonly HoldCheck[], widthMm: number): HoldCheck[] {
  return checks.map((check) => ({
    ...check,
    places: check.places.map((place) => ({ ...place, xMm: widthMm - place.xMm - place.widthMm })),
  }));
}

/** Joins the extents of bands, in order. */
function joined(bands: readonly Extents[]): Extents {
  const lines = bands.reduce((sum, { first }) => sum + first.length, 0);
  const all = { lengthPx: bands[0]!.lengthPx, first: new Int32Array(lines), last: new Int32Array(lines) };
  let at = 0;
  for (const { first, last } of bands) {
    all.first.set(first, at);
    all.last.set(last, at);
    at += first.length;
  }
  return all;
}

export interface AnalyseOptions {
  readonly process: keyof typeof processes;
  readonly mirrored: boolean;
  readonly hold: boolean;
  /** The block as all cuts so far leave it, where this plate is one of several cuts: that is what must hold. */
  readonly block?: JudgeSetup;
  /** Whether to tell what it takes turned by 90 degrees. */
  readonly turned: boolean;
  readonly depth: Pick<Depth, 'passes'>;
}

/** Measures a finished plate: predicted coverage, what will not hold, minutes. The bits are not changed. */
export async function analysePlate(
  setup: JudgeSetup,
  rowBands: readonly Extents[],
  making: Making,
  pool: Pool,
  signal: AbortSignal,
  options: AnalyseOptions,
): Promise<JudgedPlate> {
  const { id, bitmap, spot } = setup;
  const { holds } = processes[options.process];
  const tasks = options.hold ? groups(holds) : [];
  const held = options.block?.id ?? id;
  const found = tasks.map((needs) => pool.run({ do: 'hold', plate: held, args: [needs] }));
  const bands = options.hold ? bandsIn(bitmap.heightPx) : 0;
  const predicted = Array.from({ length: bands }, (_, band) =>
    pool.run({ do: 'predict', plate: id, args: [band] }),
  );
  const columns = options.turned ? pool.run({ do: 'columns', plate: id, args: [] }) : null;
  const done = await Promise.allSettled([...found, ...predicted, columns]);
  signal.throwIfAborted();
  for (const result of done) if (result.status === 'rejected') throw result.reason;
  const checks = (await Promise.all(found)).flat();
  const inOrder = holds.flatMap(({ code }) => checks.filter((check) => check.code === code));
  const widthMm = bitmap.widthPx * spot.pitchMm;
  const areas = await Promise.all(predicted);
  return {
    predictedPx: options.hold ? areas.reduce((sum, px) => sum + px, 0) : null,
    hold: options.hold ? (options.mirrored ? printReading(inOrder, widthMm) : inOrder) : null,
    time: estimateTime(
      {
        rows: joined(rowBands),
        columns: await columns,
        pitchMm: { x: spot.pitchMm, y: spot.pitchMm },
      },
      options.depth.passes ?? 1,
      making.machine,
    ),
  };
}

/** A plate of tone has no marks to judge; its minutes are those of a plate that is marked all over. */
export function judgeTone(
  plate: { readonly widthPx: number; readonly heightPx: number; readonly widthMm: number },
  making: Making,
  depth: Pick<Depth, 'passes'>,
): JudgedPlate {
  const { widthPx, heightPx, widthMm } = plate;
  const rows = {
    lengthPx: widthPx,
    first: new Int32Array(heightPx),
    last: new Int32Array(heightPx).fill(widthPx - 1),
  };
  const pitch = widthMm / widthPx;
  return {
    predictedPx: null,
    hold: null,
    time: estimateTime(
      { rows, columns: null, pitchMm: { x: pitch, y: pitch } },
      depth.passes ?? 1,
      making.machine,
    ),
  };
}
