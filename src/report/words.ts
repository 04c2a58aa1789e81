import { type ProcessKind, processes } from '../core/processes/index.ts';
import type { Caution, Report } from './schema.ts';

/** A number to so many digits behind the point. */
export const rounded = (value: number, digits: number): number => Number(value.toFixed(digits));

/** A number without needless digits: 2.50 → 2.5. */
export const num = (value: number, digits = 1): string => String(rounded(value, digits));

export const percent = (share: number): string => `${num(share * 100)} %`;

/** Such as "2 plates"; a count of one loses its s. */
export const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;

/** Minutes and seconds: 3723 s → 62:03. */
export const clock = (seconds: number): string =>
  `${Math.floor(Math.round(seconds) / 60)}:${String(Math.round(seconds) % 60).padStart(2, '0')}`;

/** Severities from grave to light, as people are told them. */
export const SEVERITIES: readonly (readonly [Caution['severity'], string])[] = [
  ['stop', 'stop'],
  ['warn', 'caution'],
  ['note', 'note'],
];

/** Such as "relief block". */
export const matrixWords = ({ process }: Report['plate']): string =>
  `${process} ${processes[process as ProcessKind].matrix}`;

export const sizeWords = ({ widthMm, heightMm }: Pick<Report['plate'], 'widthMm' | 'heightMm'>): string =>
  `${num(widthMm, 2)} × ${num(heightMm, 2)} mm`;

/** What a stretched plate prints, once the paper is dry; empty for one that is not. */
export const dryWords = ({ printMm }: Report['plate']): string =>
  printMm ? `prints ${sizeWords({ widthMm: printMm.width, heightMm: printMm.height })} when dry` : '';

export const pixelWords = ({ widthPx, heightPx, dpi, pitchMm }: PixelFacts): string =>
  `${widthPx} × ${heightPx} at ${num(dpi, 3)} dpi, pitch ${num(pitchMm, 4)} mm`;

type PixelFacts = Pick<Report['plate'], 'widthPx' | 'heightPx' | 'dpi' | 'pitchMm'>;

export const readsWords = ({ mirrored }: Report['plate']): string =>
  mirrored ? 'plate-reading (mirrored already: do not mirror it again)' : 'print-reading (not mirrored)';

export const pictureWords = ({ input, plate }: Report): string =>
  `${input.widthPx} × ${input.heightPx} px ${input.format}, ${num(plate.sourcePpi, 0)} ppi on the plate`;

/** Units that the name of a setting may end in. */
const UNITS = { Mm: ' mm', Px: ' px', Deg: '°', Lpi: ' lpi', Percent: ' %' } as const;

/** `rulingLpi`, 45 → "ruling 45 lpi". */
function settingWords(key: string, value: unknown): string {
  const unit = Object.keys(UNITS).find((ending) => key.endsWith(ending)) as keyof typeof UNITS | undefined;
  const name = unit ? key.slice(0, -unit.length) : key;
  const words = name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  const told = typeof value === 'number' ? num(value, 3) : String(value);
  return `${words} ${told}${unit ? UNITS[unit] : ''}`;
}

/** The screen with its settings as achieved. */
export function screenWords({ screen }: Report): string {
  const told = Object.entries(screen).filter(([key, value]) => isTold(key, value, screen));
  return [screen.kind, ...told.map(([key, value]) => settingWords(key, value))].join(', ');
}

export const curveWords = ({ name, measuredOn }: NonNullable<Report['curve']>): string =>
  `${name}, measured on ${measuredOn}`;

/** Told elsewhere, or for scripts alone. */
const UNTOLD = ['kind', 'tones', 'why', 'predictedKnots'];

/** Of an achieved value in both directions only what differs is told; pixels and lists are for scripts. */
function isTold(key: string, value: unknown, screen: Report['screen']): boolean {
  if (UNTOLD.includes(key) || key.endsWith('Px') || typeof value === 'object') return false;
  const [, stem, axis, unit] = /^(.+)([XY])([A-Z][a-z]+)$/.exec(key) ?? [];
  if (stem === undefined) return !bothWays(key, screen);
  const other = screen[`${stem}${axis === 'X' ? 'Y' : 'X'}${unit}`];
  return typeof other !== 'number' || other !== value;
}

/** True where `cellMm` was asked for and `cellXMm` and `cellYMm`, apart from each other, came of it. */
function bothWays(key: string, screen: Report['screen']): boolean {
  const unit = Object.keys(UNITS).find((ending) => key.endsWith(ending));
  if (!unit) return false;
  const [x, y] = ['X', 'Y'].map((axis) => screen[`${key.slice(0, -unit.length)}${axis}${unit}`]);
  return typeof x === 'number' && typeof y === 'number' && x !== y;
}

export const beamWords = ({ coverage, job }: Report): string =>
  `about ${percent(coverage.predicted ?? 0)} will really be etched${job['spotMm'] === undefined ? ', if the spot is as taken for granted' : ''}`;

export function timeWords(time: NonNullable<Report['time']>, passes: number | null): string {
  const what = passes === null ? 'one pass' : passes === 1 ? '1 pass' : `${passes} passes`;
  const left = time.slotS - time.totalS;
  const fit = time.fits
    ? `fits a slot of ${num(time.slotS / 60, 0)} min with ${num(left / 60, 0)} to spare`
    : 'does not fit the slot';
  return `about ${clock(time.totalS)} min for ${what}; ${fit}`;
}

/** What an outline is, such as "ellipse, cut line of 313.1 mm, kerf 0.2 mm". */
export function outlineWords({
  kind,
  as,
  lengthMm,
  holes,
  kerfMm,
  originMm,
}: NonNullable<Report['outline']>): string {
  const use = {
    cut: `line to cut, kerf ${num(kerfMm, 3)} mm`,
    guide: 'guide for cutting by hand',
    template: 'positioning template, not for cutting',
  }[as];
  const holed = holes === 0 ? '' : `, ${holes} ${holes === 1 ? 'hole' : 'holes'}`;
  return `${kind}, ${use}, ${num(lengthMm, 1)} mm long${holed}; the plate lies ${num(originMm.x, 1)} mm in from its page`;
}

const PASS_BASIS = {
  given: '',
  measured: '',
  'common-practice': ' (common practice: measure your own)',
  'from-memory': ' (from memory: measure your own)',
} as const;

export function passesWords({
  count,
  depthMm,
  depthPerPassMm,
  basis,
  clearing,
}: NonNullable<Report['passes']>): string {
  if (depthMm === null || depthPerPassMm === null) return String(count);
  const more = clearing ? count - clearing.finePasses : 0;
  if (clearing && more > 0)
    return `${clearing.finePasses} of the plate at ${num(depthPerPassMm, 3)} mm${basis ? PASS_BASIS[basis] : ''}, then ${more} of clearing plates, down to ${num(clearing.plates.at(-1)!.reachedMm, 3)} mm`;
  return `${count} for ${num(depthMm, 3)} mm at ${num(depthPerPassMm, 3)} mm a pass${basis ? PASS_BASIS[basis] : ''}`;
}

/** What clearing plates come to. */
export function clearingWords({
  plates,
  dpi,
  gaps,
  savedS,
  withoutS,
}: NonNullable<NonNullable<Report['passes']>['clearing']>): string {
  const [first] = plates;
  const last = plates.at(-1);
  if (!first || !last) return 'no gap needs more depth than the plate’s own passes give';
  const insets =
    plates.length === 1 ? num(first.insetMm, 2) : `${num(first.insetMm, 2)} to ${num(last.insetMm, 2)}`;
  const reach = gaps.count - gaps.shallow;
  return [
    `${plates.length} ${plates.length === 1 ? 'plate' : 'plates'} at ${num(dpi, 1)} dpi, ${insets} mm from the walls`,
    `${reach} of ${gaps.count} ${gaps.count === 1 ? 'gap reaches' : 'gaps reach'} the depth needed`,
    `${clock(Math.max(0, savedS))} of ${clock(withoutS)} min saved (${percent(Math.max(0, savedS / withoutS))})`,
  ].join('; ');
}

/** Names of files, those of one stem together: "ferry.plate.png, .proof.png". */
export function filesWords(files: Report['files']): string {
  const [first, ...rest] = files.map(({ name }) => name);
  if (first === undefined) return '';
  const stem = first.slice(0, Math.max(0, first.lastIndexOf('.plate.')));
  return [first, ...rest.map((name) => (name.startsWith(`${stem}.`) ? name.slice(stem.length) : name))].join(
    ', ',
  );
}
