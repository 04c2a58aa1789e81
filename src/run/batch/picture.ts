import { join } from 'node:path';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import { type ScreenKind, screens } from '../../core/screens/index.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import { greyUri, reducedUri } from '../../io/sheet-image.ts';
import type { Report } from '../../report/schema.ts';
import { NO_PLATE } from '../no-plate.ts';
import type { Pool } from '../pool.ts';

/** 140 ppi on a card of 54 mm. */
const MOST_PX = 300;

/** A small picture of a plate's print, from its files on the disk: of the proof where there is one; null where they cannot be read. */
export async function smallPrint(report: Report, folder: string, pool: Pool): Promise<string | null> {
  try {
    const proof = report.files.find(({ role }) => role === 'proof');
    if (proof) return await reducedUri(join(folder, proof.name), MOST_PX);
    const file = report.files.find(({ role }) => role === 'plate');
    if (!file) return null;
    const stored = {
      path: join(folder, file.name),
      kind: file.format as FormatKind,
      draws: screens[report.screen.kind as ScreenKind].draws,
      fire: file.fire ?? 'dark',
      mirrored: report.plate.mirrored,
      inksEtched: processes[report.plate.process as ProcessKind].prints !== 'kept',
    };
    const { greys, widthPx } = await pool.run({
      do: 'reducePlate',
      plate: NO_PLATE,
      args: [stored, MOST_PX],
    });
    return await greyUri(greys, widthPx);
  } catch {
    // a card without its picture is no reason to lose the sheet
    return null;
  }
}
