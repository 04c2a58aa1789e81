import type { BatchPlate, BatchReport } from '../../report/batch/schema.ts';
import { clock, counted, sizeWords } from '../../report/words.ts';
import { oneLine } from '../shown.ts';
import type { Talk } from '../talk.ts';

const NAME = 32;
const OUTCOME = 8;

function factsOf({ plate, outcome, problems, mendPage }: BatchPlate): string {
  if (plate === null || outcome === 'refused') return mendPage ?? counted(problems.length, 'problem');
  const warned = plate.cautions.filter(({ severity }) => severity === 'warn').length;
  return [
    sizeWords(plate.plate),
    ...(plate.time ? [`${clock(plate.time.totalS)} min`] : []),
    ...(warned > 0 ? [counted(warned, 'caution')] : []),
  ].join(', ');
}

/** One plate of a list in one line: its name, the stem of its files where that differs, and what there is to know. */
export function plateLine(plate: BatchPlate, of: number, talk: Talk): string {
  const { row, called, name, outcome } = plate;
  const paint = outcome === 'refused' || outcome === 'failed' ? talk.paint.red : talk.paint.green;
  const number = String(row).padStart(String(of).length);
  const told = oneLine(name === called ? name : `${called} → ${name}`);
  return `${number} ${paint(outcome.padEnd(OUTCOME))}${told.padEnd(NAME)} ${factsOf(plate)}`;
}

/** What became of a list. */
export function batchSummary(
  { counts, rows, part, plates, totalS, contactSheet, dryRun }: BatchReport,
  folder: string,
  talk: Talk,
): string {
  const { made, kept, refused, failed } = counts;
  const of = part === null ? '' : ` (part ${part.index} of ${part.of}, of ${rows})`;
  const done = [
    `${made} made`,
    ...(kept > 0 ? [`${kept} there already`] : []),
    ...(refused > 0 ? [`${refused} refused`] : []),
    ...(failed > 0 ? [`${failed} failed`] : []),
  ].join(', ');
  const where = folder === '.' ? '' : `${folder.replace(/\/+$/, '')}/`;
  return [
    `${talk.paint.bold(counted(plates.length, 'picture'))}${of}: ${done}; about ${clock(totalS)} min on the machine`,
    ...(contactSheet === null ? [] : [`contact sheet: ${where}${contactSheet}`]),
    ...(dryRun ? ['--dry-run: nothing was written'] : []),
  ].join('\n');
}
