import { lastSeen, type Page } from './pages.ts';

/** Columns of the table that spreadsheets read; a unit in each name. */
const COLUMNS: Readonly<Record<string, (page: Page) => unknown>> = {
  number: ({ number }) => number,
  id: ({ plate }) => plate.id,
  at: ({ plate }) => plate.at,
  command: ({ plate }) => plate.command,
  name: ({ plate }) => plate.name,
  made: ({ plate }) => (plate.made ? 'yes' : 'no'),
  picture: ({ plate }) => plate.input.name,
  process: ({ plate }) => plate.plate.process,
  widthMm: ({ plate }) => plate.plate.widthMm,
  heightMm: ({ plate }) => plate.plate.heightMm,
  dpi: ({ plate }) => plate.plate.dpi,
  screen: ({ plate }) => plate.screen.kind,
  rulingLpi: ({ plate }) => plate.screen['rulingLpi'],
  machine: ({ plate }) => plate.machine,
  material: ({ plate }) => plate.material?.id,
  batch: ({ plate }) => plate.material?.batch,
  curve: ({ plate }) => plate.curve?.name,
  etchedPercent: ({ plate }) => 100 * plate.coverage.etched,
  predictedPercent: ({ plate: { coverage } }) => coverage.predicted && 100 * coverage.predicted,
  passes: ({ plate }) => plate.passes,
  timeMinutes: ({ plate }) => plate.timeS && plate.timeS / 60,
  cautions: ({ plate }) => plate.cautions.map(({ code }) => code).join(' '),
  note: ({ plate }) => plate.note,
  verdict: (page) => lastSeen(page).verdict,
  pull: (page) => lastSeen(page).pull,
  ink: (page) => lastSeen(page).ink,
  paper: (page) => lastSeen(page).paper,
  pressure: (page) => lastSeen(page).pressure,
  photo: (page) => lastSeen(page).photo,
  seen: ({ notes }) => notes.flatMap(({ seen }) => seen.words ?? []).join(' / '),
  bitsSha256: ({ plate }) => plate.bitsSha256,
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
export const csvLine = (page: Page): string =>
  `${Object.values(COLUMNS)
    .map((column) => cell(column(page)))
    .join(',')}\r\n`;
