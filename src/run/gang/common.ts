import type { Problem } from '../../core/errors.ts';
import { fitsRoom, type Room } from '../../core/gang/contract.ts';
import { MM_PER_INCH, mmFor } from '../../core/geometry.ts';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import { num, sizeWords } from '../../report/words.ts';
import type { GangPlate } from './plate.ts';
import type { GangSettings } from './settings.ts';

/** What the command line says of all plates. */
export interface GangWish {
  readonly process: ProcessKind | null;
  readonly material: string | null;
  readonly materialConfirmed: string | null;
}

/** What all plates of a gang share. */
export interface Common {
  readonly dpi: number;
  readonly process: ProcessKind;
  /** True where no report and no flag tells the process: then the etched share was looked at. */
  readonly guessed: boolean;
  readonly material: string | null;
  readonly materialConfirmed: string | null;
  readonly problems: readonly Problem[];
}

/** A plate is thought to be a block where more than half of it is etched. */
const RELIEF_FROM = 0.5;

function guessProcess(plates: readonly GangPlate[]): ProcessKind {
  const etched = plates.reduce((sum, { etchedPx }) => sum + etchedPx, 0);
  const all = plates.reduce((sum, { widthPx, heightPx }) => sum + widthPx * heightPx, 0);
  return etched > RELIEF_FROM * all ? 'relief' : 'intaglio';
}

/** Names of plates by what they have, in the order they came; those that have nothing are left out. */
function byValue(
  plates: readonly GangPlate[],
  told: (plate: GangPlate) => string | null,
): Map<string, string[]> {
  const groups = new Map<string, string[]>();
  for (const plate of plates) {
    const value = told(plate);
    if (value !== null) groups.set(value, [...(groups.get(value) ?? []), plate.file]);
  }
  return groups;
}

const groupWords = (groups: ReadonlyMap<string, readonly string[]>): string =>
  [...groups].map(([value, files]) => `${value}: ${files.join(', ')}`).join('; ');

/** What plates have in common, what is asked for laid over it, and where they disagree. */
export function commonOf(plates: readonly GangPlate[], wish: GangWish): Common {
  const problems: Problem[] = [];
  const asked = (value: string | null, flag: string): [string, string[]][] =>
    value === null ? [] : [[value, [`as --${flag} says`]]];
  const merged = (groups: Map<string, string[]>, value: string | null, flag: string) =>
    new Map([...groups, ...asked(value, flag).filter(([key]) => !groups.has(key))]);

  const dpis = byValue(plates, ({ dpi }) => `${num(dpi, 3)} dpi`);
  if (dpis.size > 1)
    problems.push({
      code: 'different-dpi',
      message: `The plates are not of one resolution (${groupWords(dpis)}), and a sheet has one`,
      hint: 'Make them again at one --dpi.',
    });
  const kinds = merged(
    byValue(plates, ({ beside }) => beside?.report.plate.process ?? null),
    wish.process,
    'process',
  );
  if (kinds.size > 1)
    problems.push({
      code: 'different-process',
      message: `The plates are not for one process (${groupWords(kinds)}): where one is etched the other is kept`,
      hint: 'Gang each process on sheets of its own.',
    });
  const sheets = merged(
    byValue(plates, ({ beside }) => beside?.report.material?.id ?? null),
    wish.material,
    'material',
  );
  if (sheets.size > 1)
    problems.push({
      code: 'different-material',
      message: `The plates are not for one material (${groupWords(sheets)})`,
      hint: 'Gang each material on sheets of its own.',
    });
  const [told] = kinds.keys();
  const known = told !== undefined && Object.hasOwn(processes, told) ? (told as ProcessKind) : null;
  const confirmed = plates.map(({ beside }) => beside?.report.material?.confirmedBy ?? null);
  return {
    dpi: plates[0]!.dpi,
    process: known ?? guessProcess(plates),
    guessed: known === null,
    material: [...sheets.keys()][0] ?? null,
    // one plate that nobody was asked about is one too many
    materialConfirmed: wish.materialConfirmed ?? (confirmed.includes(null) ? null : confirmed[0]!),
    problems,
  };
}

/** A sheet, its edges and its gutters, in mm. */
export interface SheetMm extends Pick<GangSettings, 'gutterMm' | 'sawAllowanceMm' | 'turn'> {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly marginMm: number;
  readonly kerfMm: number;
}

/** What arithmetic adds to a length. */
const HAIR = 1e-6;

/**
 * The room of a sheet in pixels, and where it begins. It ends within half a pixel of the far margins, so that a plate
 * which was rounded up to whole pixels still fits where its length does.
 */
export function roomOf(
  { widthMm, heightMm, marginMm, gutterMm }: SheetMm,
  dpi: number,
): { readonly room: Room; readonly marginPx: number } {
  const pxPerMm = dpi / MM_PER_INCH;
  return {
    marginPx: Math.floor(marginMm * pxPerMm + HAIR),
    room: {
      widthPx: Math.round((widthMm - 2 * marginMm) * pxPerMm + HAIR),
      heightPx: Math.round((heightMm - 2 * marginMm) * pxPerMm + HAIR),
      gutterPx: Math.ceil(gutterMm * pxPerMm - HAIR),
    },
  };
}

/** What does not fit: a gutter too narrow for the cut, a plate too large for the sheet. */
export function sheetProblems(plates: readonly GangPlate[], sheet: SheetMm): Problem[] {
  const { widthMm, heightMm, gutterMm, kerfMm, sawAllowanceMm, marginMm, turn } = sheet;
  const problems: Problem[] = [];
  if (gutterMm + HAIR < kerfMm + sawAllowanceMm)
    problems.push({
      code: 'gutter-too-narrow',
      message: `--gutter ${num(gutterMm, 3)} mm is less than the kerf of ${num(kerfMm, 3)} mm and the saw allowance of ${num(sawAllowanceMm, 3)} mm together`,
      hint: `Give --gutter ${num(kerfMm + sawAllowanceMm, 3)} mm or more, or a smaller --saw-allowance.`,
    });
  if (Math.min(widthMm, heightMm) <= 2 * marginMm) {
    problems.push({
      code: 'no-room',
      message: `--sheet-margin ${num(marginMm, 3)} mm leaves nothing of a sheet of ${sizeWords(sheet)}`,
      hint: 'Give a smaller --sheet-margin, or a larger sheet.',
    });
    return problems;
  }
  const seen = new Set<GangPlate>();
  for (const plate of plates) {
    if (seen.has(plate)) continue;
    seen.add(plate);
    const size = { widthMm: mmFor(plate.widthPx, plate.dpi), heightMm: mmFor(plate.heightPx, plate.dpi) };
    const { room } = roomOf(sheet, plate.dpi);
    const turned = fitsRoom(plate, true, room);
    if (fitsRoom(plate, false, room) || (turned && turn === 'auto')) continue;
    problems.push({
      code: 'larger-than-sheet',
      message: `${plate.file} (${sizeWords(size)}) does not fit a sheet of ${sizeWords(sheet)} with margins of ${num(marginMm, 2)} mm`,
      hint: turned
        ? 'It fits turned: leave out --turn off.'
        : 'Give a larger sheet, or a smaller --sheet-margin.',
    });
  }
  return problems;
}
