import type { Bitmap } from '../../core/bitmap.ts';
import { MM_PER_INCH } from '../../core/geometry.ts';
import type { Finish } from '../../core/plate.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import type { ScreenDef } from '../../core/screens/contract.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { Depth } from '../../job/hold-limits.ts';
import type { Making } from '../../job/making.ts';
import type { JudgedPlate } from '../../report/judged.ts';
import type { Report } from '../../report/schema.ts';
import type { Pool } from '../pool.ts';
import { analysePlate } from './analyse.ts';
import { finishPlate } from './bands.ts';
import type { RunContext } from './context.ts';
import { type OpenFile, openSink } from './plate-file.ts';
import { bandRowsFor, type DrawnSetup, newPlateId } from './setup.ts';
import { writePlates } from './write-plates.ts';

/** A plate whose ink is drawn, and what its files are to be. */
export interface DrawnPlate {
  /** In shared memory; finished in place. */
  readonly bitmap: Bitmap;
  /** What makes it a plate; the whole of it is picture. */
  readonly finish: Omit<Finish, 'box'>;
  readonly dpi: number;
  readonly packing: ScreenDef['packs'];
  readonly stored: Pick<PlateHead, 'fire' | 'tiff'>;
}

/** A drawn plate that is finished; its bands have gone to its files, which end with `writeFiles`. */
export interface FinishedPlate {
  /** Etched share, 0…1. */
  readonly etched: number;
  /** SHA-256 of its bits, as in a report. */
  readonly bitsSha256: string;
  /** Its minutes; whether it holds is not asked. */
  judge(process: ProcessKind, depth: Pick<Depth, 'passes'>, turned?: boolean): Promise<JudgedPlate>;
  /** Ends the files and reads them back, all still under temporary names. */
  writeFiles(role?: Report['files'][number]['role']): Promise<Report['files']>;
  /** Lets the threads forget it. */
  drop(): void;
}

/** Finishes a drawn plate with the pool's threads and sends its bands to the open files. */
export async function finishDrawn(
  { bitmap, finish, dpi, packing, stored }: DrawnPlate,
  open: readonly OpenFile[],
  making: Making,
  pool: Pool,
  context: RunContext,
): Promise<FinishedPlate> {
  const { widthPx, heightPx } = bitmap;
  const head: PlateHead = { widthPx, heightPx, dpi, ...stored, packing, bandRows: bandRowsFor.bits };
  const { spotMm, beam } = making.machine;
  const setup: DrawnSetup = {
    draws: 'ink',
    id: newPlateId(),
    bitmap,
    head,
    formats: open.map(({ kind }) => kind),
    finish: { ...finish, box: { xPx: 0, yPx: 0, widthPx, heightPx } },
    spot: { spotMm, beam, pitchMm: MM_PER_INCH / dpi },
    holdLimits: {},
  };
  pool.add(setup);
  const drop = (): void => pool.drop(setup.id);
  try {
    const sinks = await Promise.all(open.map((file) => openSink(file, head)));
    const made = await finishPlate(setup, [], sinks, pool, context.signal, context.progress);
    return {
      etched: made.etchedPx / (widthPx * heightPx),
      bitsSha256: made.bitsSha256,
      judge: (process, depth, turned = false) =>
        analysePlate(setup, made.rowBands, making, pool, context.signal, {
          process,
          mirrored: finish.mirror,
          hold: false,
          turned,
          depth,
        }),
      writeFiles: (role) => writePlates(open, sinks, setup.id, head, pool, context, role),
      drop,
    };
  } catch (error) {
    drop();
    throw error;
  }
}
