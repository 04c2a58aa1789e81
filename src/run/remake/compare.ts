import { EtchError } from '../../core/errors.ts';
import type { KnownWorkshop } from '../../job/making.ts';
import type { Difference, Remade } from '../../report/remake-schema.ts';
import type { Report } from '../../report/schema.ts';
import type { PlateEntry } from '../../store/notebook/entry.ts';
import type { Again } from './contract.ts';

/** What a record knows of the program that made it. */
export type Tool = PlateEntry['tool'];

/** A plate file of a record. */
export type KnownFile = Pick<PlateEntry['files'][number], 'role' | 'name' | 'format' | 'packed' | 'sha256'>;

const shown = (value: unknown): string =>
  value === undefined || value === null
    ? 'not set'
    : typeof value === 'string'
      ? value
      : JSON.stringify(value);

/** Gathers what is not as it was. */
export function openDifferences() {
  const list: Difference[] = [];
  const add = (what: string, was: unknown, is: unknown): void => {
    if (shown(was) !== shown(is)) list.push({ what, was: shown(was), is: shown(is) });
  };
  return {
    list,
    add,
    /** Every value of two records, by its key; `of` stands before it. */
    addAll(was: Readonly<Record<string, unknown>>, is: Readonly<Record<string, unknown>>, of = ''): void {
      for (const key of new Set([...Object.keys(was), ...Object.keys(is)])) add(of + key, was[key], is[key]);
    },
    addTool(was: Tool, is: Tool): void {
      add('version', was.version, is.version);
      for (const part of ['algorithms', 'sharp', 'libvips'] as const)
        add(part, was.engine[part], is.engine[part]);
    },
    /** Told where the record itself shows that its settings are not those that were made. */
    addChanged(isChanged: boolean, label: string): void {
      if (isChanged) add('settings', 'as it was made', `changed in ${label} since`);
    },
  };
}

type Bits = { readonly name: string; readonly bitsSha256: string };

/** Plates of the record beside those made now, by their names. */
export function compareBits(was: readonly Bits[], is: readonly Bits[]): Pick<Remade, 'sameBits' | 'plates'> {
  const names = [...new Set([...was, ...is].map(({ name }) => name))];
  const bitsIn = (plates: readonly Bits[], name: string): string | null =>
    plates.find((plate) => plate.name === name)?.bitsSha256 ?? null;
  const plates = names.map((name) => ({ name, was: bitsIn(was, name), is: bitsIn(is, name) }));
  return { sameBits: plates.every((plate) => plate.was === plate.is), plates };
}

const plateFiles = <File extends { readonly role: string }>(files: readonly File[]): File[] =>
  files.filter(({ role }) => role === 'plate');

/** Compares plate files in their order: those of the formats that were made again. */
export function sameFiles(was: readonly KnownFile[], is: Report['files']): boolean | null {
  const made = plateFiles(is);
  const formats = new Set(made.map(({ format }) => format));
  const again = plateFiles(was).filter(({ format }) => formats.has(format));
  if (again.length === 0) return null;
  return again.every(({ sha256 }) => made.some((file) => file.sha256 === sha256));
}

/** The formats asked for, else those the record has; none where nothing is written. */
export function formatsOf(
  label: string,
  files: readonly KnownFile[],
  { format, folder }: Again,
): NonNullable<Again['format']> {
  if (folder === null) return [];
  if (format !== undefined) return format;
  const known = [...new Set(plateFiles(files).map((file) => file.format))];
  if (known.length > 0) return known as NonNullable<Again['format']>;
  throw new EtchError(
    'usage',
    'no-format-known',
    `${label} names no plate file to make again`,
    'Say which with --format, or prove the bits with --dry-run.',
  );
}

/** How strips of TIFFs are packed: as asked, else as in the record. */
export const tiffOf = (files: readonly KnownFile[], { tiff }: Again): 'deflate' | 'group4' =>
  tiff ?? files.find(({ packed }) => packed !== null)?.packed ?? 'deflate';

/** The sheet is named as the workshop of today knows it: by its id, else by its kind. */
export function sheetOf(
  material: PlateEntry['material'],
  workshop: KnownWorkshop | null,
): { readonly material?: string; readonly materialConfirmed?: string } {
  if (material === null) return {};
  const isKept = workshop?.workshop.materials.some(({ id }) => id === material.id) ?? false;
  const { confirmedBy } = material;
  return {
    material: isKept ? material.id : (material.kind ?? material.id),
    ...(confirmedBy === null ? {} : { materialConfirmed: confirmedBy }),
  };
}
