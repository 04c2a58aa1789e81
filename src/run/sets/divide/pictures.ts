import type { Bitmap } from '../../../core/bitmap.ts';
import { JobError, type Problem } from '../../../core/errors.ts';
import type { PlateLayout } from '../../../core/geometry.ts';
import { labelsOf } from '../../../core/separations/bits.ts';
import { decodePicture } from '../../../io/read/decode.ts';
import type { PictureFacts } from '../../../io/read/facts.ts';
import { type Inspection, inspectPicture } from '../../../io/read/inspect.ts';
import { inkOf } from '../../../job/inks.ts';
import { layPrint } from '../../../job/plan.ts';
import type { RunContext } from '../../plate/context.ts';
import { drawnFor, turnedSize } from '../../plate/open-input.ts';
import { refuseWithoutRoom, SET_OF_AREAS } from '../../plate/room.ts';
import type { Division } from '../division.ts';
import type { SeparateRequest } from '../request.ts';
import { askedBits } from '../source/asked-bits.ts';
import { shaped } from './areas.ts';

const sizeWords = ({ uprightWidthPx, uprightHeightPx, ppiX }: PictureFacts): string =>
  `${uprightWidthPx} × ${uprightHeightPx} px${ppiX === null ? '' : ` at ${Number(ppiX.toFixed(2))} ppi`}`;

const differ = (one: number | null, other: number | null): boolean =>
  one === null || other === null ? one !== other : Math.abs(one / other - 1) > 1e-3;

/** Pictures that do not lie over each other, all of them: pixels of the same number must be the same place. */
function misfits(facts: readonly PictureFacts[]): Problem[] {
  const [first] = facts;
  return facts.slice(1).flatMap((one) =>
    one.uprightWidthPx !== first!.uprightWidthPx ||
    one.uprightHeightPx !== first!.uprightHeightPx ||
    differ(one.ppiX, first!.ppiX)
      ? [
          {
            code: 'plates-differ',
            message: `--plate: ${one.name} is ${sizeWords(one)}, but ${first!.name} ${sizeWords(first!)}`,
            hint: 'Give all plates the same canvas, from the same corner, and export them alike: only then do they register.',
          },
        ]
      : [],
  );
}

/** What each picture asks for, one after the other, since each is decoded whole. */
async function askedOf(
  inspections: readonly Inspection[],
  layout: PlateLayout,
  job: SeparateRequest['base']['job'],
  signal: AbortSignal,
): Promise<Bitmap[]> {
  const { rotateDeg } = job;
  const asked: Bitmap[] = [];
  for (const inspection of inspections) {
    const picture = await decodePicture(inspection, drawnFor(layout, rotateDeg), signal);
    try {
      const own = layPrint(job, turnedSize(picture.facts, rotateDeg));
      asked.push(await askedBits(picture, rotateDeg, own, signal));
    } finally {
      picture.close();
    }
  }
  return asked;
}

/** Brings the pictures of plates together. Throws JobError where they do not lie over each other. */
export async function dividePictures(request: SeparateRequest, context: RunContext): Promise<Division> {
  const { base, method, pictures, inks, looking } = request;
  const { signal, scratchFolder } = context;
  const { page, maxPixels, rotateDeg } = base.job;
  const inspections: Inspection[] = [];
  for (const input of pictures)
    inspections.push(await inspectPicture(input, { page, maxPixels, scratchDir: scratchFolder }, signal));
  const facts = inspections.map((inspection) => inspection.facts);
  const problems = misfits(facts);
  if (problems.length > 0) throw new JobError(problems, 'input');
  const layout = layPrint(base.job, turnedSize(facts[0]!, rotateDeg));
  const printed = inks ?? pictures.map(({ plate }) => inkOf(plate, looking.inkColour));
  const way = method?.def.way(method.params);
  if (way?.draws === 'areas') {
    refuseWithoutRoom({ ...layout, dpi: base.job.dpi }, SET_OF_AREAS, base.making);
    const asked = await askedOf(inspections, layout, base.job, signal);
    const areas = { labels: labelsOf(asked), asked };
    const from = { told: facts, facts: null, layout, inks: printed, findings: [] };
    return shaped(request, way, areas, from, context).division;
  }
  return {
    inks: printed,
    plates: printed,
    draws: 'pictures',
    onRaster: false,
    layout,
    facts: null,
    findings: [],
    areas: null,
    cut: null,
    open: async (plate) => ({ input: pictures[plate]!, close: () => undefined }),
    close: () => undefined,
  };
}
