import { join } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import type { LinePage, Loop, OutlinePath } from '../../core/outlines/contract.ts';
import { type BedWish, bedTemplate } from '../../core/register/bed-template.ts';
import type { AidDef } from '../../core/register/contract.ts';
import { aids } from '../../core/register/index.ts';
import { stretchedMm } from '../../core/register/stretch.ts';
import type { FileSet } from '../../io/atomic.ts';
import { writeOutlinePdf } from '../../io/outlines/pdf.ts';
import { writeOutlineSvg } from '../../io/outlines/svg.ts';
import { laidPaper } from '../../job/paper-sizes.ts';
import { stretchOf } from '../../job/plan.ts';
import type { Report } from '../../report/schema.ts';
import { toldBeside } from '../plate/plate-file.ts';
import { aidOf, placeOf } from './aid.ts';
import type { Division } from './division.ts';
import type { SetLook } from './looks.ts';
import type { PlateJob, SeparateRequest } from './request.ts';

/** Bare all round what is cut out of board. */
const MARGIN_MM = 5;
const BLACK = '000000';

/** A page of lines that belongs to a set, not yet written. */
interface SetPage {
  readonly role: 'bed' | 'jig';
  readonly ending: string;
  readonly page: LinePage;
  readonly title: string;
}

/** The largest of the plates both ways; they differ where some are stretched and others not. */
function plateMm({ layout }: Division, plates: readonly PlateJob[]): BedWish['plate'] {
  const stretches = plates.map(({ job }) => stretchOf(job));
  return {
    widthMm: stretchedMm(layout.widthMm, Math.max(...stretches.map(({ x }) => x))),
    heightMm: stretchedMm(layout.heightMm, Math.max(...stretches.map(({ y }) => y))),
  };
}

function bedPage({ name, paper }: SeparateRequest, plate: BedWish['plate']): SetPage {
  const laid = laidPaper(paper!, plate);
  try {
    const page = bedTemplate({ paper: laid, plate, footMm: null, name });
    return { role: 'bed', ending: 'bed.pdf', page, title: `${name}: template for the bed of the press` };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new EtchError(
      'usage',
      'paper-too-small',
      `Drawing the template of the press bed: ${error.message}`,
      'Give a larger --paper-size, across × down as it lies before you, or a smaller plate.',
    );
  }
}

const pathOf = (loop: Loop, isHole: boolean): OutlinePath => {
  const at = ({ x, y }: Loop[number]) => ({ x: x + MARGIN_MM, y: y + MARGIN_MM });
  return {
    start: at(loop[0]!),
    segments: [...loop.slice(1), loop[0]!].map((point) => ({ to: at(point) })),
    isHole,
  };
};

function jigPage(name: string, loops: readonly Loop[]): Omit<SetPage, 'ending'> {
  const points = loops.flat();
  return {
    role: 'jig',
    title: `${name}: jig, of board as thick as the plates`,
    page: {
      widthMm: Math.max(...points.map(({ x }) => x)) + 2 * MARGIN_MM,
      heightMm: Math.max(...points.map(({ y }) => y)) + 2 * MARGIN_MM,
      // the outline first, then its holes
      lines: [{ paths: loops.map((loop, index) => pathOf(loop, index > 0)) }],
    },
  };
}

/** The pages of a set: a template for the press bed, a jig to go with its aid. EtchError `paper-too-small`. */
function pagesOf(request: SeparateRequest, division: Division, plates: readonly PlateJob[]): SetPage[] {
  const kind = aidOf(request);
  const plate = plateMm(division, plates);
  const aid: AidDef | null = kind && aids[kind];
  const loops = kind && aid ? aid.cut({ ...placeOf(kind, division, plates[0]!), ...plate }) : [];
  return [
    ...(request.settings.bedTemplate ? [bedPage(request, plate)] : []),
    ...(loops.length > 0
      ? ['jig.svg', 'jig.pdf'].map((ending) => ({ ...jigPage(request.name, loops), ending }))
      : []),
  ];
}

/** A page of a set, open under its temporary name. */
export interface OpenPage extends SetPage {
  readonly look: SetLook;
}

/** Draws the pages of a set and opens their files. EtchError `paper-too-small`. */
export async function openPages(
  request: SeparateRequest,
  division: Division,
  plates: readonly PlateJob[],
  set: FileSet,
): Promise<OpenPage[]> {
  const { folder, name } = request;
  const open: OpenPage[] = [];
  for (const page of pagesOf(request, division, plates)) {
    if (folder === null) continue;
    const file = `${name}.${page.ending}`;
    const format = page.ending.endsWith('svg') ? 'svg' : 'pdf';
    const slot = await set.add(join(folder, file));
    open.push({ ...page, look: { role: page.role, format, name: file, slot } });
  }
  return open;
}

/** Writes the pages, still under temporary names, and tells of them. */
export async function writePages(open: readonly OpenPage[]): Promise<Report['files']> {
  for (const { page, title, look } of open) {
    const drawing = { ...page, colour: BLACK, title };
    await look.slot.write(
      look.format === 'svg' ? [writeOutlineSvg(drawing)] : await writeOutlinePdf(drawing),
    );
  }
  return open.map(({ look }) => toldBeside(look));
}
