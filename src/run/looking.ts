/** What is made to look at beside a plate: its proof, its hold map, its job sheet. */

import type { HoldCheck } from '../core/hold/contract.ts';
import type { Slot } from '../io/atomic.ts';
import { MM_PER_INCH } from '../core/geometry.ts';
import type { EncodedBand } from '../io/formats/contract.ts';
import { proofBandsIn, proofPngBack, proofPngFront, type RgbHead } from '../io/proof-png.ts';
import type { Looking, ProofSettings } from '../job/proof-settings.ts';
import type { SheetOptions } from '../report/jobsheet/jobsheet.ts';
import type { Caution, Report } from '../report/schema.ts';
import { inOrder, type Progress } from './bands.ts';
import type { Drawing } from './drawing.ts';
import { hashOfFile } from './plate-file.ts';
import type { Pool } from './pool.ts';
import type { PrintAs } from './proof.ts';
import { pixelsFor, sheetPictures } from './sheet-pictures.ts';
import type { JudgeSetup } from './setup.ts';
import type { GreySource } from './tone-source.ts';

/** The files to look at, by their role in the report, in the order they are made. */
const LOOKS = {
  proof: { asked: 'proof', ending: 'proof.png', format: 'png' },
  hold: { asked: 'holdmap', ending: 'hold.png', format: 'png' },
  jobsheet: { asked: 'jobsheet', ending: 'jobsheet.html', format: 'html' },
} as const;

type Look = keyof typeof LOOKS;

/** A file to look at, open under its temporary name. */
export interface LookFile {
  readonly look: Look;
  readonly name: string;
  readonly slot: Slot;
}

/** The files that are asked for. */
export const looksOf = (looking: Looking): Look[] =>
  (Object.keys(LOOKS) as Look[]).filter((look) => looking[LOOKS[look].asked]);

export const lookName = (name: string, look: Look): string => `${name}.${LOOKS[look].ending}`;

/** A finished plate, its picture and what was found on it. */
export interface Seen {
  /** Null where the plate is of tone and has no bits to draw from. */
  readonly setup: JudgeSetup | null;
  readonly source: GreySource;
  readonly print: Omit<PrintAs, 'settings'>;
  readonly checks: readonly HoldCheck[];
  readonly cautions: readonly Caution[];
  readonly fire: 'dark' | 'light';
}

/** Draws a picture of a plate on all threads and hands its PNG file on in pieces, in order. */
async function drawPng(
  plate: number,
  drawing: Drawing,
  write: (pieces: readonly Uint8Array[]) => Promise<void>,
  pool: Pool,
  signal: AbortSignal,
): Promise<RgbHead> {
  const head = await pool.run({ do: 'drawingHead', plate, args: [drawing] });
  await write([proofPngFront(head)]);
  const sums: Pick<EncodedBand, 'adler' | 'rawBytes'>[] = [];
  await inOrder(
    proofBandsIn(head.heightPx),
    pool.threads + 1,
    signal,
    (band) => pool.run({ do: 'drawBand', plate, args: [drawing, band] }),
    async ({ bytes, adler, rawBytes }) => {
      sums.push({ adler: adler!, rawBytes: rawBytes! });
      await write([bytes]);
    },
  );
  await write([proofPngBack(sums)]);
  return head;
}

/** The drawings of a plate at a resolution. */
const drawingOf = (
  { print, checks, cautions }: Seen,
  what: Drawing['what'],
  settings: ProofSettings,
): Drawing => ({
  what,
  print: { ...print, settings },
  checks: what === 'hold' ? checks : [],
  words: new Map(what === 'hold' ? cautions.map(({ code, text }) => [code, text]) : []),
});

const told = (file: LookFile): Report['files'][number] => ({
  role: file.look,
  name: file.name,
  format: LOOKS[file.look].format,
  photometric: null,
  fire: null,
  ...hashOfFile(file.slot.fd),
  statedDpi: null,
});

/**
 * Writes the files to look at, under their temporary names, and gives the report of all files: `reportWith` makes
 * it from the list so far. The sheet comes last, since it quotes the report.
 */
export async function writeLooks(
  open: readonly LookFile[],
  seen: Seen,
  looking: Looking,
  sheet: Omit<SheetOptions, 'coverageBins'>,
  plateFiles: Report['files'],
  reportWith: (files: Report['files']) => Report,
  pool: Pool,
  signal: AbortSignal,
  progress: Progress,
): Promise<Report> {
  const files = [...plateFiles];
  const { setup } = seen;
  const drawn: Partial<Record<Drawing['what'], { file: string; head: RgbHead }>> = {};
  for (const [index, file] of open.entries()) {
    progress('drawing', index, open.length);
    if (file.look === 'jobsheet' || setup === null) continue;
    const drawing = drawingOf(seen, file.look, looking);
    const head = await drawPng(setup.id, drawing, file.slot.write, pool, signal);
    drawn[file.look] = { file: file.slot.tempPath, head };
    files.push(told(file));
  }
  const page = open.find(({ look }) => look === 'jobsheet');
  if (!page) return reportWith(files);
  const { jobSheet } = await import('../report/jobsheet/jobsheet.ts');
  const report = reportWith(files);
  const drawSmall = async (what: Drawing['what']) => {
    if (setup === null || (what === 'hold' && seen.checks.length === 0)) return null;
    if (drawn[what]) return drawn[what];
    const pieces: Uint8Array[] = [];
    const ppi = Math.min(
      looking.proofPpi,
      pixelsFor(setup.bitmap).scale * (MM_PER_INCH / setup.spot.pitchMm),
    );
    const head = await drawPng(
      setup.id,
      drawingOf(seen, what, { ...looking, proofPpi: ppi }),
      async (more) => void pieces.push(...more),
      pool,
      signal,
    );
    return { file: Buffer.concat(pieces), head };
  };
  const { pictures, coverageBins } = await sheetPictures(
    setup,
    seen.source,
    { proof: await drawSmall('proof'), hold: await drawSmall('hold') },
    { fire: seen.fire, plate: report.plate },
    pool,
  );
  signal.throwIfAborted();
  const text = jobSheet(report, pictures, { ...sheet, coverageBins });
  await page.slot.write([new TextEncoder().encode(text)]);
  return reportWith([...files, told(page)]);
}
