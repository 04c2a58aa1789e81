import type { Brief } from './contract.ts';
import { kindOf } from './kinds/index.ts';
import { lastSeen, type Page } from './pages.ts';

type Told = Page & { readonly brief: Brief };

/** Columns of the table that spreadsheets read; a unit in each name. */
const COLUMNS: Readonly<Record<string, (page: Told) => unknown>> = {
  number: ({ number }) => number,
  id: ({ entry }) => entry.id,
  at: ({ entry }) => entry.at,
  kind: ({ entry }) => entry.kind,
  command: ({ entry }) => entry.command,
  name: ({ entry }) => entry.name,
  made: ({ entry }) => (entry.made ? 'yes' : 'no'),
  picture: ({ brief }) => brief.picture,
  process: ({ brief }) => brief.process,
  widthMm: ({ brief }) => brief.widthMm,
  heightMm: ({ brief }) => brief.heightMm,
  dpi: ({ brief }) => brief.dpi,
  screen: ({ brief }) => brief.screen,
  rulingLpi: ({ brief }) => brief.rulingLpi,
  machine: ({ entry }) => entry.machine,
  material: ({ entry }) => entry.material?.id,
  batch: ({ entry }) => entry.material?.batch,
  curve: ({ brief }) => brief.curve,
  etchedPercent: ({ brief: { etched } }) => etched && 100 * etched,
  predictedPercent: ({ brief: { predicted } }) => predicted && 100 * predicted,
  passes: ({ brief }) => brief.passes,
  timeMinutes: ({ brief: { timeS } }) => timeS && timeS / 60,
  cautions: ({ entry }) => entry.cautions.map(({ code }) => code).join(' '),
  note: ({ entry }) => entry.note,
  verdict: (page) => lastSeen(page).verdict,
  pull: (page) => lastSeen(page).pull,
  ink: (page) => lastSeen(page).ink,
  paper: (page) => lastSeen(page).paper,
  pressure: (page) => lastSeen(page).pressure,
  photo: (page) => lastSeen(page).photo,
  seen: ({ notes }) => notes.flatMap(({ seen }) => seen.words ?? []).join(' / '),
  bitsSha256: ({ brief }) => brief.bitsSha256,
};

/** A spreadsheet takes a text that begins so for a formula and would run it; the apostrophe keeps it text. */
const FORMULA = /^[=+\-@\t\r]/;

function cell(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return String(Math.round(value * 1e4) / 1e4);
  const text = FORMULA.test(String(value)) ? `'${String(value)}` : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** The first line of the table, names of its columns. */
export const csvHead = (): string => `${Object.keys(COLUMNS).join(',')}\r\n`;

/** A page as a line of comma-separated values (RFC 4180). */
export function csvLine(page: Page): string {
  const told: Told = { ...page, brief: kindOf(page.entry).brief(page.entry) };
  return `${Object.values(COLUMNS)
    .map((column) => cell(column(told)))
    .join(',')}\r\n`;
}
