import { dirname, join } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import type { GangEntry, PlateEntry, RunEntry, TestPlateEntry } from '../../store/notebook/entry.ts';
import { kindOf } from '../../store/notebook/kinds/index.ts';
import { curveOfPlate } from '../calibration/measured-curves.ts';
import { pagesCalled } from '../records/notebook.ts';
import type { Remaking } from './contract.ts';
import { remakeGang } from './gang.ts';
import { remakePlate } from './plate.ts';
import { openReport } from './reports.ts';
import { remakeTestPlate } from './testplate.ts';

/** Where an entry stands. */
interface At {
  readonly label: string;
  readonly folder: string;
}

function plateEntry(entry: PlateEntry, at: At): Remaking {
  const { input } = entry;
  return remakePlate({
    ...at,
    ...entry,
    paths: input.path === null ? [] : [join(at.folder, input.path)],
    jobChanged: false,
    ofSet: entry.command === 'separate',
    curve: entry.curve && curveOfPlate(at.label, entry, entry.curve),
    maskSha256: null,
  });
}

const testPlateEntry = (entry: TestPlateEntry, at: At): Remaking =>
  remakeTestPlate({ ...at, ...entry, jobChanged: false });

const gangEntry = (entry: GangEntry, at: At): Remaking => remakeGang({ ...at, ...entry });

const ENTRIES: { readonly [Kind in RunEntry['kind']]?: (entry: never, at: At) => Remaking } = {
  plate: plateEntry,
  testplate: testPlateEntry,
  gang: gangEntry,
};

/** What an entry of the notebook speaks of. */
async function ofEntry(notebook: string, called: string): Promise<Remaking> {
  const [page] = await pagesCalled(notebook, [called]);
  const { number, entry } = page!;
  const open = ENTRIES[entry.kind];
  if (open) return open(entry as never, { label: `entry ${number}`, folder: dirname(notebook) });
  throw new EtchError(
    'usage',
    'nothing-to-remake',
    `Entry ${number} of ${notebook} is ${kindOf(entry).called}: there are no bits to make again`,
    'Read its scans again with `etchwright calibrate`.',
  );
}

/** What is meant: a number or id is an entry of the notebook, all else names a report. */
export function openRecorded(called: string, notebook: () => Promise<string>): Promise<Remaking> {
  const isEntry = /^(\d+|e[0-9a-f]{3,11})$/i.test(called);
  return isEntry ? notebook().then((path) => ofEntry(path, called)) : openReport(called);
}
