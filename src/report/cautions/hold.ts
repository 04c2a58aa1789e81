import { MM_PER_INCH } from '../../core/geometry.ts';
import type { HoldCheck } from '../../core/hold/contract.ts';
import { presses } from '../../core/presses.ts';
import { sensibleDpi } from '../../core/spot/dpi.ts';
import { MOST_PASSES, passesFor } from '../../core/time/passes.ts';
import { deepestMm } from '../deepest.ts';
import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { num } from '../words.ts';
import { caution } from './index.ts';

interface Words {
  /** A few words for a legend: what was looked for. */
  readonly name: string;
  /** True where the number of pieces says nothing. */
  readonly uncounted?: boolean;
  /** What was found; `count` pieces, the worst `worst` mm against `limit` mm. */
  text(found: { count: number; worst: string; limit: string; share: string }): string;
  cure(judged: Judged, worstMm: number, limitMm: number): string;
  readonly severity?: Caution['severity'];
}

const pieces = (count: number, one: string, many: string): string =>
  count === 1 ? `1 ${one}` : `${count.toLocaleString('en-GB')} ${many}`;

const they = (count: number): string => (count === 1 ? 'it' : 'they');

const coarser = ({ making }: Judged): string =>
  `--dpi ${sensibleDpi(making.machine.spotMm, making.machine.beam).dpi}, a pitch as wide as the spot`;

/** Resolution at which ground one pixel wide outlasts wiping: 2 pitches − spot = limit; never finer than pitch = spot. */
function landsHoldAt(judged: Judged, limitMm: number): string {
  const { spotMm } = judged.making.machine;
  const dpi = Math.floor((2 * MM_PER_INCH) / (limitMm + spotMm));
  return limitMm > spotMm
    ? `--dpi ${dpi}, where ground one pixel wide is ${limitMm} mm after the spot`
    : coarser(judged);
}

/** No sheet of unknown thickness is taken to be thicker than this: what is usual ends here (common practice). */
const USUAL_MOST_MM = 6;

/** What helps against a floor that prints: the depth the widest gap needs under this press, where sheet and passes can give it. */
function floorCure({ making: { press, sheet }, depth }: Judged, gapMm: number): string {
  const neededMm = Math.ceil(presses[press.kind].neededDepthMm(gapMm, press.rollerRadiusMm) * 10) / 10;
  const others = 'saw it out, leave bearers, or mask it when inking';
  if (neededMm === Number.POSITIVE_INFINITY)
    return `It is as wide as the roller is thick, so no depth helps: ${others}.`;
  const wants = `It wants ${neededMm} mm of depth`;
  const { thicknessMm } = sheet;
  if (thicknessMm !== null && neededMm >= thicknessMm)
    return `${wants}, more than a sheet of ${thicknessMm} mm has: ${others}.`;
  if (thicknessMm !== null && neededMm > deepestMm(thicknessMm))
    return `${wants}, which leaves too little of a sheet of ${thicknessMm} mm to stay stiff (from memory): ${others}.`;
  if (thicknessMm === null && neededMm > deepestMm(USUAL_MOST_MM))
    return `${wants}, for which most sheets are too thin: ${others}.`;
  const { depthPerPassMm } = depth;
  if (depthPerPassMm !== null && passesFor(neededMm, depthPerPassMm) > MOST_PASSES)
    return `${wants}, more than ${MOST_PASSES} passes give at ${num(depthPerPassMm, 3)} mm each: ${others}.`;
  return `Go ${neededMm} mm deep with more --passes, ${others}.`;
}

/** The words of every check that a process may ask for, by its code; a test holds the two together. */
export const holdWords: Readonly<Record<string, Words>> = {
  'thin-walls': {
    name: 'thin kept lines',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'kept line is', 'kept lines are')} thinner than ${limit} mm on the block, the thinnest ${worst} mm: ${they(count)} may snap or burn away`,
    cure: () => 'Draw thin lines heavier, make the block larger, or take a harder, denser sheet.',
  },
  'small-dots': {
    name: 'small kept dots',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'kept dot is', 'kept dots are')} smaller than ${limit} mm, the smallest ${worst} mm: ${they(count)} may not hold`,
    cure: () => 'Take small dots out, or make them larger; specks of a scan go with --whitepoint.',
  },
  'gaps-fill': {
    name: 'gaps that fill',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'cleared gap is', 'cleared gaps are')} narrower than ${limit} mm, the narrowest ${worst} mm: ${they(count)} may fill with ink`,
    cure: () => 'Open narrow gaps, make the block larger, or ink thinly with a hard roller.',
  },
  'floor-prints': {
    name: 'floor that prints',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'cleared area is', 'cleared areas are')} wider than the ${limit} mm that this depth serves, the widest ${worst} mm across: roller or baren will touch the floor`,
    cure: floorCure,
  },
  'kept-ring': {
    name: 'frame along the edge',
    text: ({ count }) =>
      `${pieces(count, 'strip along the edge is', 'strips along the edge are')} kept and will print as a frame`,
    cure: () => 'Give a --border, or leave it if the frame is meant.',
    severity: 'note',
  },
  'in-saw-edge': {
    name: 'print at the sawn edge',
    uncounted: true,
    text: ({ limit }) =>
      `Something that prints lies within ${limit} mm of the edge, where a saw takes its kerf and chips`,
    cure: () => 'Give a --border, or cut the sheet before it is engraved.',
    severity: 'note',
  },
  'thin-lands': {
    name: 'thin ground',
    text: ({ count, worst, limit, share }) =>
      `${share} of the ground between the marks is thinner than ${limit} mm after the spot (${pieces(count, 'piece', 'pieces')}, the thinnest ${worst} mm): it may not outlast wiping`,
    cure: (judged, _, limitMm) => {
      if (judged.widen !== null) return `Ask for ${judged.widen}, or a lower --cap.`;
      const lines = 'draw the lines farther apart';
      const tone = `make the plate at ${landsHoldAt(judged, limitMm)}, or with a lower --cap`;
      if (judged.lineArt === null) return `Line art: ${lines}. A screened tone: ${tone}.`;
      return judged.lineArt
        ? 'Draw the lines farther apart, or make the plate larger.'
        : `M${tone.slice(1)}.`;
    },
  },
  'small-marks': {
    name: 'small marks',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'mark is', 'marks are')} smaller than ${limit} mm, the smallest ${worst} mm: ${they(count)} may not take or hold ink`,
    cure: () => 'Make small marks larger, or leave them out with --whitepoint.',
  },
  'open-bite': {
    name: 'open bite',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'etched pool is', 'etched pools are')} wider than ${limit} mm, the widest ${worst} mm: open bite, where ink wipes out of the middle`,
    cure: ({ lineArt }) => {
      const lines = 'draw the area with lines or a tone and screen it: a --cap does nothing to line art.';
      const tone = 'lower the --cap so that ground stays between the marks.';
      if (lineArt === null) return `Line art: ${lines} A screened tone: ${tone}`;
      return lineArt ? `D${lines.slice(1)}` : `L${tone.slice(1)}`;
    },
  },
  'open-bite-field': {
    name: 'marks run together',
    uncounted: true,
    text: ({ worst }) =>
      `The marks of the screen burn into each other: a field up to ${worst} mm wide will be one open bite, and wipe out pale`,
    cure: (judged) => `Make the plate at ${coarser(judged)}; a lower --cap alone does not open it again.`,
  },
  'stroke-too-fine': {
    name: 'fine strokes',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'stroke or letter is', 'strokes or letters are')} finer than ${limit} mm, two marks of the beam, the finest ${worst} mm: drawn fatter than asked`,
    cure: () => 'Draw lettering and lines heavier, or make the plate larger.',
  },
  'gap-too-fine': {
    name: 'fine gaps',
    text: ({ count, worst, limit }) =>
      `${pieces(count, 'gap within lettering or lines is', 'gaps within lettering or lines are')} narrower than ${limit} mm, the narrowest ${worst} mm: widened or closed, so letters may clog`,
    cure: () => 'Take larger or more open letters, set lines farther apart, or make the plate larger.',
  },
  'in-bevel': {
    name: 'etched in the bevel',
    uncounted: true,
    text: ({ limit }) =>
      `Something etched lies within ${limit} mm of the edge, where the bevel takes it away`,
    cure: () => 'Give a --border as wide as the bevel and a little more.',
    severity: 'note',
  },
};

export const holdName = (code: string): string => holdWords[code]?.name ?? code.replaceAll('-', ' ');

/** What a check found, in a few words and a number. */
export function holdFound({ code, count }: Pick<HoldCheck, 'code' | 'count'>): string {
  return holdWords[code]?.uncounted ? holdName(code) : `${holdName(code)} (${count})`;
}

const BASES: Readonly<Record<HoldCheck['basis'], string>> = {
  measured: 'limit measured',
  'common-practice': 'limit: common practice',
  'from-memory': 'limit from memory',
};

function mm(value: number | null): string {
  if (value === null || value < 0.01) return 'under 0.01';
  return Number.isFinite(value) ? String(Number(value.toFixed(value < 1 ? 2 : 1))) : 'any';
}

/** The worst of a check, with as many digits as tell it from its limit. */
function worstOf(worstMm: number | null, limitMm: number): string {
  const limit = mm(limitMm);
  const rounded = mm(worstMm);
  if (worstMm === null || rounded !== limit || worstMm === limitMm) return rounded;
  const digits = [2, 3, 4].find((count) => Number(worstMm.toFixed(count)) !== Number(limit)) ?? 0;
  if (digits > 0) return String(Number(worstMm.toFixed(digits)));
  return `just ${worstMm < limitMm ? 'under' : 'over'} ${limit}`;
}

/** One caution for each check that found something, with the worst value and what its limit rests on. */
export function holdCautions(judged: Judged): Caution[] {
  return (judged.analysis.hold ?? [])
    .filter(({ count }) => count > 0)
    .map(({ code, count, worstMm, limitMm, share, basis }) => {
      const words = holdWords[code];
      if (!words) throw new Error(`no words for the check ${code}`);
      const found = {
        count,
        worst: worstOf(worstMm, limitMm),
        limit: mm(limitMm),
        share: share < 0.001 ? 'under 0.1 %' : `${Number((share * 100).toFixed(1))} %`,
      };
      return caution({
        code,
        severity: words.severity ?? 'warn',
        text: `${words.text(found)} (${BASES[basis]})`,
        value: worstMm,
        limit: Number.isFinite(limitMm) ? limitMm : null,
        unit: 'mm',
        cure: words.cure(judged, worstMm ?? 0, limitMm),
      });
    });
}
