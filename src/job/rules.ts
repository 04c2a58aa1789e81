import type { Problem } from '../core/errors.ts';
import { MM_PER_INCH } from '../core/geometry.ts';
import { type OutlineKind, outlines } from '../core/outlines/index.ts';
import { processes } from '../core/processes/index.ts';
import { screens } from '../core/screens/index.ts';
import { STRIP_BORDER_MM } from '../core/testplate/strip-size.ts';
import { outlinesWith } from './outline-settings.ts';
import type { WantedJob } from './schema.ts';
import { flagFor, settingByKey } from './settings.ts';

/** One rule over several settings: null when it holds. */
type Rule = (job: WantedJob) => Problem | null;

const flag = (key: string): string => `--${flagFor(key)}`;

const floorUnderCap: Rule = ({ floorPercent, capPercent }) =>
  floorPercent > 0 && floorPercent >= capPercent
    ? {
        code: 'floor-above-cap',
        message: `${flag('floorPercent')} ${floorPercent} % is not below ${flag('capPercent')} ${capPercent} %`,
        hint: 'The lightest tone must be lighter than the darkest: lower the floor or raise the cap.',
      }
    : null;

const blackUnderWhite: Rule = ({ blackpointPercent, whitepointPercent }) =>
  blackpointPercent >= whitepointPercent
    ? {
        code: 'black-above-white',
        message: `${flag('blackpointPercent')} ${blackpointPercent} % is not below ${flag('whitepointPercent')} ${whitepointPercent} %`,
        hint: 'The black point must be darker than the white point.',
      }
    : null;

const borderInside: Rule = ({ borderMm, widthMm, heightMm }) => {
  const least = Math.min(widthMm ?? Number.POSITIVE_INFINITY, heightMm ?? Number.POSITIVE_INFINITY);
  return 2 * borderMm >= least
    ? {
        code: 'border-too-wide',
        message: `${flag('borderMm')} ${borderMm} mm on both sides leaves nothing of a plate side of ${least} mm`,
        hint: `Give a border under ${least / 2} mm, or a larger plate.`,
      }
    : null;
};

const stripFits: Rule = ({ controlStrip, borderMm }) =>
  controlStrip && borderMm < STRIP_BORDER_MM
    ? {
        code: 'border-too-narrow',
        message: `${flag('controlStrip')} wants a border of ${STRIP_BORDER_MM} mm or more, and it is ${borderMm} mm`,
        hint: `Give ${flag('borderMm')} ${STRIP_BORDER_MM}mm, on a plate so much larger; the border is waste, and may be cut off.`,
      }
    : null;

/** Settings of an outline that is not there, or of another one. */
const outlineHasSettings: Rule = (job) => {
  const given = [...settingByKey.values()].filter(
    ({ key, group }) =>
      group === 'outline' &&
      key !== 'outline' &&
      (job as unknown as Record<string, unknown>)[key] !== undefined,
  );
  const kind: OutlineKind | undefined = job.outline;
  const stray = given.find(
    ({ key }) => kind === undefined || (outlinesWith(key).length > 0 && !outlinesWith(key).includes(kind)),
  );
  if (!stray) return null;
  const owners = outlinesWith(stray.key);
  return {
    code: 'setting-of-another-outline',
    message:
      kind === undefined
        ? `${flag(stray.key)} is given, and no ${flag('outline')}`
        : `${flag(stray.key)} belongs to the outline ${owners.join(' or ')}, but the outline is ${kind}`,
    hint: `Leave it out, or choose ${flag('outline')} ${owners[0] ?? Object.keys(outlines).join(', ')}.`,
  };
};

/** Largest plate whose bitmap is kept in memory whole: 1 GiB of packed bits. */
const MOST_PLATE_PIXELS = 8 * 2 ** 30;

/** The problem of a plate with more pixels than memory holds; null when it has room. */
export function tooLarge(widthMm: number, heightMm: number, dpi: number): Problem | null {
  const pixels = ((widthMm * dpi) / MM_PER_INCH) * ((heightMm * dpi) / MM_PER_INCH);
  return pixels > MOST_PLATE_PIXELS
    ? {
        code: 'plate-too-large',
        message: `A plate of ${rounded(widthMm)} × ${rounded(heightMm)} mm at ${dpi} dpi has ${(pixels / 1e9).toFixed(1)} thousand million pixels`,
        hint: `Stay under ${(MOST_PLATE_PIXELS / 1e9).toFixed(1)} thousand million: give a lower ${flag('dpi')} or a smaller plate.`,
      }
    : null;
}

/** A side that follows from the picture is no longer than a typed one may be: a hair of a picture makes no plate of 60 m. */
export function sideTooLong(size: { readonly widthMm: number; readonly heightMm: number }): Problem | null {
  for (const key of ['widthMm', 'heightMm'] as const) {
    const { maximum } = settingByKey.get(key)!;
    if (size[key] <= maximum!) continue;
    return {
      code: 'side-too-long',
      message: `By the picture’s proportion the plate comes out ${rounded(size.widthMm)} × ${rounded(size.heightMm)} mm`,
      hint: `A side has ${maximum} mm at most: give both ${flag('widthMm')} and ${flag('heightMm')}, or crop the picture.`,
    };
  }
  return null;
}

const rounded = (mm: number): number => Number(mm.toFixed(2));

const plateNotTooLarge: Rule = ({ widthMm, heightMm, dpi }) => tooLarge(widthMm ?? 0, heightMm ?? 0, dpi);

const clearsRelief: Rule = ({ clearing, process }) =>
  clearing && !processes[process].clears
    ? {
        code: 'clearing-holds-ink',
        message: `${flag('clearing')} deepens wide ground, and what is etched for ${process} holds the ink`,
        hint: `Leave ${flag('clearing')} out; a plate that must be deeper takes more ${flag('passes')}.`,
      }
    : null;

const clearsMarks: Rule = ({ clearing, screen }) =>
  clearing && screen !== null && screens[screen].draws === 'tone'
    ? {
        code: 'clearing-of-tone',
        message: `${flag('clearing')} is drawn from the marks of a plate, and ${flag('screen')} ${screen} makes none`,
        hint: `Leave ${flag('clearing')} out, or let the plate be screened.`,
      }
    : null;

/** Every rule that looks at more than one setting. Add a rule here and it is told with all the others. */
const rules: readonly Rule[] = [
  floorUnderCap,
  blackUnderWhite,
  borderInside,
  stripFits,
  plateNotTooLarge,
  outlineHasSettings,
  clearsRelief,
  clearsMarks,
];

export const brokenRules = (job: WantedJob): Problem[] => rules.flatMap((rule) => rule(job) ?? []);
