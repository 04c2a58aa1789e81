import { join } from 'node:path';
import { defacingEtch } from '../../core/layout/defacing.ts';
import { openFileSet } from '../../io/atomic.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import { sweepStale } from '../../io/stale.ts';
import type { Making } from '../../job/making.ts';
import type { LedgerPlate } from '../../store/edition/state.ts';
import type { RunContext } from '../plate/context.ts';
import { finishDrawn } from '../plate/drawn-plate.ts';
import { openPlateFiles } from '../plate/plate-file.ts';

export interface DefaceRequest {
  readonly plate: Pick<LedgerPlate, 'name' | 'widthMm' | 'heightMm' | 'dpi'>;
  /** Stem of the file names. */
  readonly name: string;
  readonly making: Making;
  readonly folder: string;
  readonly formats: readonly FormatKind[];
  readonly overwrite: boolean;
}

/** Writes the plate file that cancels a matrix: a cross etched over all of it. Gives the paths. */
export async function writeDefacing(request: DefaceRequest, context: RunContext): Promise<string[]> {
  const { plate, folder, name, overwrite, making } = request;
  await sweepStale(folder, context.owner);
  const set = openFileSet({ owner: context.owner, overwrite, protect: [] });
  try {
    const open = await openPlateFiles(set, folder, name, request.formats);
    const bitmap = defacingEtch(plate.widthMm, plate.heightMm, plate.dpi);
    const pool = context.poolFor((bitmap.widthPx * bitmap.heightPx) / 1000);
    const finished = await finishDrawn(
      {
        bitmap,
        finish: { etches: 'ink', border: 'kept', mirror: true },
        dpi: plate.dpi,
        packing: 'runs',
        stored: { fire: 'dark', tiff: 'deflate' },
      },
      open,
      making,
      pool,
      context,
    );
    try {
      await finished.writeFiles();
    } finally {
      finished.drop();
    }
    await set.commit();
    return open.map((file) => join(folder, file.name));
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
