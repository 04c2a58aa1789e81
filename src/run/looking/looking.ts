/** What is made to look at beside a plate: its proof, its hold map, its job sheet. */

import { MM_PER_INCH } from '../../core/geometry.ts';
import type { HoldCheck } from '../../core/hold/contract.ts';
import { LETTER_MM } from '../../core/holdmap/sheet.ts';
import type { KeptInk } from '../../core/proof/kept-ink.ts';
import type { Looking, ProofSettings } from '../../job/proof-settings.ts';
import type { SheetOptions } from '../../report/jobsheet/jobsheet.ts';
import { shareFor } from '../../report/jobsheet/pictures.ts';
import type { Caution, Report } from '../../report/schema.ts';
import type { Progress } from '../plate/bands.ts';
import { toldBeside } from '../plate/plate-file.ts';
import type { JudgeSetup } from '../plate/setup.ts';
import type { GreySource } from '../plate/tone-source.ts';
import type { Pool } from '../pool.ts';
import { allDone } from './all-done.ts';
import { type Drawn, draw } from './draw.ts';
import type { Drawing, SmallMap } from './drawing.ts';
import { LOOKS, type LookFile } from './files.ts';
import { keptSize, type PrintAs } from './proof.ts';
import { MOST_PX, pixelsFor, type SheetDrawings, sheetPictures } from './sheet-pictures.ts';

/** A finished plate and what was found on it. */
export interface Seen {
  /** Null where the plate is of tone and has no bits to draw from. */
  readonly setup: JudgeSetup | null;
  readonly print: Omit<PrintAs, 'settings'>;
  readonly checks: readonly HoldCheck[];
  readonly cautions: readonly Caution[];
}

/** A drawing of a plate. */
const drawingOf = (
  { print, checks, cautions }: Seen,
  what: Drawing['what'],
  settings: ProofSettings,
  kept: KeptInk | null,
): Omit<Drawing, 'file' | 'shrinkBy'> => ({
  what,
  print: { ...print, settings },
  checks: what === 'hold' ? checks : [],
  words: new Map(what === 'hold' ? cautions.map(({ code, text }) => [code, text]) : []),
  kept,
});

const told = ({ look, name, slot }: LookFile): Report['files'][number] =>
  toldBeside({ role: look, name, format: LOOKS[look].format, slot });

/** What the sheet shows besides. */
export interface OnSheet {
  readonly source: GreySource;
  readonly fire: 'dark' | 'light';
}

/** Letters of the map on the sheet, about so high; its own in its file. */
const LETTER_ON_SHEET_MM = 1.6;
/** Pictures in the sheet's row. */
const IN_ROW = 4;

/** How much larger the marks of a hold map are drawn, so that they can be read on the sheet. */
function enlargedFor({ bitmap, spot }: JudgeSetup): number {
  const plate = { widthMm: bitmap.widthPx * spot.pitchMm, heightMm: bitmap.heightPx * spot.pitchMm };
  return Math.max(1, LETTER_ON_SHEET_MM / (LETTER_MM * shareFor(Array(IN_ROW).fill(plate))));
}

/** Settings for what is drawn for the sheet alone. */
function onSheet({ bitmap, spot }: JudgeSetup, looking: Looking): ProofSettings {
  const ppi = pixelsFor(bitmap).scale * (MM_PER_INCH / spot.pitchMm);
  return { ...looking, proofPpi: Math.min(looking.proofPpi, ppi) };
}

/** What is drawn of a plate: what has a file, and what the sheet shows. */
interface Drawings extends SheetDrawings {
  readonly holdFile: Promise<Drawn> | null;
}

function startDrawings(
  open: readonly LookFile[],
  seen: Seen,
  looking: Looking,
  pool: Pool,
  signal: AbortSignal,
): Drawings {
  const { setup, print, checks } = seen;
  if (setup === null) return { proof: null, hold: null, holdFile: null };
  const slotOf = (what: Drawing['what']) => open.find(({ look }) => look === what)?.slot ?? null;
  const files = { proof: slotOf('proof'), hold: slotOf('hold') };
  const kept = files.proof && files.hold ? roomForInk(setup, { ...print, settings: looking }) : null;
  const fileOf = (what: Drawing['what'], smallPx: number | null): Promise<Drawn> | null => {
    const slot = files[what];
    return slot && draw(setup.id, drawingOf(seen, what, looking, kept), slot.write, smallPx, pool, signal);
  };
  const settings = onSheet(setup, looking);
  const smallProof = (): Promise<Drawn> =>
    draw(setup.id, drawingOf(seen, 'proof', settings, null), null, MOST_PX, pool, signal);
  const smallMap: SheetDrawings['hold'] = (reduced) => {
    const of = { print: { ...print, settings }, checks, reduced };
    const map: SmallMap = { ...of, enlarged: enlargedFor(setup), mostPx: MOST_PX };
    return pool.run({ do: 'drawSmallMap', plate: setup.id, args: [map] });
  };
  const proof = fileOf('proof', looking.jobsheet ? MOST_PX : null);
  return {
    proof: proof ?? (looking.jobsheet ? smallProof() : null),
    hold: checks.length > 0 ? smallMap : null,
    // the map lies over the ink that the proof leaves
    holdFile: kept && proof ? proof.then(() => fileOf('hold', null)!) : fileOf('hold', null),
  };
}

/** Room for the ink of a proof, that its hold map is drawn over; null where they are not of one size, or there is no room: either makes its own. */
function roomForInk({ bitmap, spot }: JudgeSetup, print: PrintAs): KeptInk | null {
  const size = keptSize({ ...print, bitmap, spot });
  try {
    return size && { ...size, bytes: new Uint8Array(new SharedArrayBuffer(size.widthPx * size.heightPx)) };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/**
 * Writes the files to look at, under their temporary names, while `writePlate` writes those of the plate, and gives the report of all files: `reportWith`
 * makes it from the list so far. Begins nothing before its first step is told: whoever is told may throw. The sheet comes last, since it quotes the report.
 */
export async function writeLooks(
  open: readonly LookFile[],
  seen: Seen & OnSheet,
  looking: Looking,
  sheet: Omit<SheetOptions, 'coverageBins'>,
  plate: { readonly widthMm: number; readonly heightMm: number },
  writePlate: () => Promise<Report['files']>,
  reportWith: (files: Report['files']) => Report,
  pool: Pool,
  signal: AbortSignal,
  progress: Progress,
): Promise<Report> {
  if (open.length > 0) progress('drawing', 0, open.length);
  const plateFiles = writePlate();
  const drawings = startDrawings(open, seen, looking, pool, signal);
  const page = open.find(({ look }) => look === 'jobsheet');
  const { setup, source, fire } = seen;
  const [made, shown] = await allDone([
    plateFiles,
    page ? sheetPictures(setup, source, drawings, { fire, plate }, pool) : null,
    drawings.proof,
    drawings.holdFile,
  ]);
  signal.throwIfAborted();
  const files = [...made, ...open.filter((file) => file !== page).map(told)];
  const report = reportWith(files);
  if (!page || !shown) return report;
  const { jobSheet } = await import('../../report/jobsheet/jobsheet.ts');
  const text = jobSheet(report, shown.pictures, { ...sheet, coverageBins: shown.coverageBins });
  await page.slot.write([new TextEncoder().encode(text)]);
  return reportWith([...files, told(page)]);
}

/** Writes proof and hold map of a plate that is there already, under their temporary names. */
export async function writeDrawings(
  open: readonly LookFile[],
  seen: Seen,
  looking: Looking,
  pool: Pool,
  signal: AbortSignal,
  progress: Progress,
): Promise<Report['files']> {
  if (open.length > 0) progress('drawing', 0, open.length);
  const { proof, holdFile } = startDrawings(open, seen, looking, pool, signal);
  await allDone([proof, holdFile]);
  return open.map(told);
}
