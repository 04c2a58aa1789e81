import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { FormatKind } from '../../io/formats/index.ts';
import type { Making } from '../../job/making.ts';
import type { OutlineAsked } from '../../job/outline.ts';
import type { Job } from '../../job/schema.ts';
import type { RunContext } from '../plate/context.ts';
import { type Common, commonOf, type GangWish, type SheetMm, sheetProblems } from './common.ts';
import type { LaidBefore } from './layout.ts';
import { type GangPlate, measurePlate, type PlateReading } from './plate.ts';
import type { GangSettings } from './settings.ts';

/** What is known of the making, once it is known what plates they are; with all that is wrong with it. */
export type MakingFor = (common: Pick<Common, 'process' | 'material' | 'materialConfirmed'>) => {
  readonly making: Making;
  readonly problems: readonly Problem[];
};

export interface GangRequest {
  readonly plates: readonly string[];
  /** Stem of the file names. */
  readonly name: string;
  readonly settings: GangSettings;
  readonly wish: GangWish;
  readonly reading: PlateReading;
  readonly depth: Pick<Job, 'passes' | 'depthMm'>;
  readonly makingFor: MakingFor;
  /** The line around every plate; where it names none, plates keep their own. */
  readonly outline: OutlineAsked;
  readonly formats: readonly FormatKind[];
  readonly stored: Pick<PlateHead, 'fire' | 'tiff'>;
  /** Null to write nothing. */
  readonly folder: string | null;
  readonly overwrite: boolean;
  /** Files that must never be written over, besides the plates and their reports. */
  readonly protect: readonly string[];
  readonly strict: boolean;
  /** For sheets made again: how the plates lay, and the bits that must come of them. */
  readonly again?: LaidBefore;
}

/** Reads and measures every plate; those that cannot be read come as problems, so that all of them are told. */
async function measureAll(
  { plates: paths, reading }: GangRequest,
  context: RunContext,
): Promise<{ readonly plates: GangPlate[]; readonly unread: EtchError[] }> {
  const known = new Map<string, GangPlate>();
  const plates: GangPlate[] = [];
  const unread: EtchError[] = [];
  for (const [index, path] of paths.entries()) {
    context.signal.throwIfAborted();
    context.progress('reading', index, paths.length);
    try {
      const plate = known.get(path) ?? (await measurePlate(path, reading, context));
      known.set(path, plate);
      plates.push(plate);
    } catch (error) {
      if (context.signal.aborted || !(error instanceof EtchError)) throw error;
      unread.push(error);
    }
  }
  return { plates, unread };
}

/** A gang whose plates are known and go together. */
export interface Settled {
  /** Copies each by itself. */
  readonly plates: readonly GangPlate[];
  readonly common: Common;
  readonly making: Making;
  readonly sheet: SheetMm;
}

function sheetOf(
  { sheetWidthMm, sheetHeightMm, sheetMarginMm, gutterMm, sawAllowanceMm, turn }: GangSettings,
  { machine }: Making,
): SheetMm {
  return {
    widthMm: sheetWidthMm ?? machine.bedMm.x,
    heightMm: sheetHeightMm ?? machine.bedMm.y,
    gutterMm,
    sawAllowanceMm,
    marginMm: sheetMarginMm,
    turn,
    kerfMm: machine.kerfMm,
  };
}

/** What all plates share and the sheet they go on; throws JobError with all that is wrong. */
export async function settle(request: GangRequest, context: RunContext): Promise<Settled> {
  const { settings, wish, makingFor } = request;
  const { plates, unread } = await measureAll(request, context);
  const problems: Problem[] = unread.map(({ code, message, hint }) => ({ code, message, hint }));
  const kind = unread.some((error) => error.kind !== 'usage') ? 'input' : 'usage';
  if (plates.length === 0) throw new JobError(problems, kind);
  const common = commonOf(plates, wish);
  const { making, problems: unmade } = makingFor(common);
  const sheet = sheetOf(settings, making);
  problems.push(...common.problems, ...unmade, ...sheetProblems(plates, sheet));
  if (problems.length > 0) throw new JobError(problems, kind);
  const copies = Array.from({ length: settings.duplicates ?? 1 }, () => plates);
  return { plates: copies.flat(), common, making, sheet };
}
