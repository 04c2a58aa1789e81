import { closeSync } from 'node:fs';
import { type Bitmap, countBits } from '../core/bitmap.ts';
import { JobError, type Problem } from '../core/errors.ts';
import { MM_PER_INCH, type PlateLayout } from '../core/geometry.ts';
import { parseColour } from '../core/proof/colour.ts';
import { labelsOf } from '../core/separations/bits.ts';
import type { Areas, SeparationWay, SetFinding, SetInk } from '../core/separations/contract.ts';
import { inksOf } from '../core/separations/palette.ts';
import { swallowSmall } from '../core/separations/swallow.ts';
import { type ColourPicture, decodeColours, decodePicture } from '../io/read/decode.ts';
import type { PictureFacts } from '../io/read/facts.ts';
import { type Inspection, inspectPicture } from '../io/read/inspect.ts';
import { inkOf } from '../job/inks.ts';
import { layPlate } from '../job/plan.ts';
import { drawnFor, type PrepareRequest, type RunContext, turnedSize } from './prepare.ts';
import { refuseWithoutRoom, SET_OF_AREAS } from './room.ts';
import type { SeparateRequest } from './separate-request.ts';
import {
  askedBits,
  bitsScratch,
  labelColours,
  labelDarkness,
  sampleColours,
  splitScratches,
} from './separate-source.ts';

/** The source of one plate; `close` gives its scratch back. */
interface PlateSource {
  readonly input: PrepareRequest['input'];
  close(): void;
}

/** A picture divided among the plates of a set. */
export interface Division {
  /** In printing order, one for each plate. */
  readonly inks: readonly SetInk[];
  /** What each plate is made of: areas, tones of one picture, or a picture of its own. */
  readonly draws: SeparationWay['draws'] | 'pictures';
  readonly layout: PlateLayout;
  /** Of the one picture; null where each plate has its own. */
  readonly facts: PictureFacts | null;
  readonly findings: readonly SetFinding[];
  /** Ink of each plate inside the picture, print-reading; null where plates are of tones. */
  readonly areas: readonly Bitmap[] | null;
  open(plate: number): Promise<PlateSource>;
  close(): void;
}

/** Samples that inks are looked for in. */
const SAMPLES = 20_000;
const SEED = 1;

function inksFor(
  { inks, settings, method, looking }: SeparateRequest,
  picture: ColourPicture,
  rotateDeg: SeparateRequest['base']['job']['rotateDeg'],
): readonly SetInk[] {
  if (inks) return inks;
  const count = settings.colours ?? method!.def.inks.found ?? method!.def.inks.least;
  const paper = parseColour(looking.paperColour, 'paper');
  const stem = method!.def.oneBlock ? 'stage' : 'ink';
  return inksOf(sampleColours({ picture, rotateDeg }, SAMPLES), count, paper, SEED).map((colour, index) =>
    inkOf(`${stem}-${index + 1}`, colour),
  );
}

/** The facts of a picture drawn on the raster of the plate. */
const drawnFacts = (told: PictureFacts, { box }: PlateLayout): PictureFacts => ({
  ...told,
  widthPx: box.widthPx,
  heightPx: box.heightPx,
  uprightWidthPx: box.widthPx,
  uprightHeightPx: box.heightPx,
  ppiX: null,
  ppiY: null,
  sizeMm: null,
  orientation: 1,
  alpha: false,
  depthBits: 8,
  blackCode: 0,
  whiteCode: 255,
  drawing: false,
  cautions: [],
});

const tonedFacts = (told: PictureFacts): PictureFacts => ({
  ...told,
  alpha: false,
  depthBits: 16,
  blackCode: 0,
  whiteCode: 65535,
  drawing: false,
  cautions: [],
});

type AreasWay = Extract<SeparationWay, { draws: 'areas' }>;

/** Labels of the picture for a method that shapes areas, small pieces swallowed, with what that took. */
async function areasOf(
  { settings, base, looking }: SeparateRequest,
  way: AreasWay,
  picture: ColourPicture,
  layout: PlateLayout,
  inks: readonly SetInk[],
  { signal }: RunContext,
): Promise<{ areas: Areas; findings: SetFinding[] }> {
  const { dpi, rotateDeg } = base.job;
  const pxPerMm = dpi / MM_PER_INCH;
  const turned = { picture, rotateDeg };
  const labels =
    way.by === 'colours'
      ? await labelColours(
          turned,
          layout,
          [parseColour(looking.paperColour, 'paper'), ...inks.map(({ light }) => light)],
          signal,
        )
      : await labelDarkness(turned, layout, way.levels!(inks.length), way.smoothMm * pxPerMm, signal);
  const smallestPx = settings.smallestMm * pxPerMm;
  const lines = [0, ...way.lines(inks).map((ink) => ink + 1)];
  const { count, areaPx } = swallowSmall(labels, { smallestPx, lines });
  const findings = inks.flatMap((_, plate): SetFinding[] =>
    count[plate + 1]! > 0
      ? [{ code: 'swallowed', plate, count: count[plate + 1]!, areaPx: areaPx[plate + 1]! }]
      : [],
  );
  return { areas: { labels, asked: null }, findings };
}

/** Plates with nothing to print are told by their plate as well; here in the words of the set. */
const unseen = (plates: readonly Bitmap[]): SetFinding[] =>
  plates.flatMap(({ data }, plate) =>
    countBits(data) === 0 ? [{ code: 'never-seen', plate, count: 0, areaPx: 0 }] : [],
  );

function shaped(
  { settings, base }: SeparateRequest,
  way: AreasWay,
  areas: Areas,
  before: readonly SetFinding[],
  told: readonly PictureFacts[],
  facts: PictureFacts | null,
  layout: PlateLayout,
  inks: readonly SetInk[],
  { scratchFolder, signal }: RunContext,
): Division {
  const pxPerMm = base.job.dpi / MM_PER_INCH;
  const { plates, findings } = way.shape(areas, {
    pxPerMm,
    inks,
    smallestPx: settings.smallestMm * pxPerMm,
  });
  return {
    inks,
    draws: 'areas',
    layout,
    facts,
    findings: [...before, ...findings, ...unseen(plates)],
    areas: plates,
    async open(plate) {
      const scratch = await bitsScratch(plates[plate]!, scratchFolder, signal);
      const of = told[plate] ?? told[0]!;
      return {
        input: {
          name: of.name,
          picture: { facts: drawnFacts(of, layout), scratch },
          ink: plates[plate]!,
          told: of,
        },
        close: () => closeSync(scratch.fd),
      };
    },
    close: () => undefined,
  };
}

async function divideOne(
  request: SeparateRequest,
  input: NonNullable<SeparateRequest['picture']>,
  context: RunContext,
): Promise<Division> {
  const { base, method, looking } = request;
  const { signal, scratchFolder } = context;
  const { page, maxPixels, rotateDeg } = base.job;
  const inspection = await inspectPicture(
    input,
    { page, maxPixels, scratchDir: scratchFolder, colour: true },
    signal,
  );
  const expected = layPlate(base.job, turnedSize(inspection.facts, rotateDeg));
  const way = method!.def.way(method!.params);
  if (way.draws === 'areas') refuseWithoutRoom({ ...expected, dpi: base.job.dpi }, SET_OF_AREAS, base.making);
  const picture = await decodeColours(inspection, drawnFor(expected, rotateDeg), signal);
  try {
    const layout = layPlate(base.job, turnedSize(picture.facts, rotateDeg));
    const inks = inksFor(request, picture, rotateDeg);
    if (way.draws === 'areas') {
      const { areas, findings } = await areasOf(request, way, picture, layout, inks, context);
      const { facts } = picture;
      return shaped(request, way, areas, findings, [facts], facts, layout, inks, context);
    }
    const split = way.open(inks, parseColour(looking.paperColour, 'paper'));
    const scratches = await splitScratches(picture, split, inks.length, scratchFolder, signal);
    const { facts } = picture;
    return {
      inks,
      draws: 'tones',
      layout,
      facts,
      findings: [],
      areas: null,
      open: async (plate) => ({
        input: {
          name: facts.name,
          picture: { facts: tonedFacts(facts), scratch: scratches[plate]! },
          ink: null,
          told: facts,
        },
        close: () => undefined,
      }),
      close: () => {
        for (const { fd } of scratches) closeSync(fd);
      },
    };
  } finally {
    picture.close();
  }
}

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

async function dividePictures(request: SeparateRequest, context: RunContext): Promise<Division> {
  const { base, method, pictures, inks, looking } = request;
  const { signal, scratchFolder } = context;
  const { page, maxPixels, rotateDeg } = base.job;
  const inspections: Inspection[] = [];
  for (const input of pictures)
    inspections.push(await inspectPicture(input, { page, maxPixels, scratchDir: scratchFolder }, signal));
  const facts = inspections.map((inspection) => inspection.facts);
  const problems = misfits(facts);
  if (problems.length > 0) throw new JobError(problems, 'input');
  const layout = layPlate(base.job, turnedSize(facts[0]!, rotateDeg));
  const printed = inks ?? pictures.map(({ plate }) => inkOf(plate, looking.inkColour));
  const way = method?.def.way(method.params);
  if (way?.draws === 'areas') {
    refuseWithoutRoom({ ...layout, dpi: base.job.dpi }, SET_OF_AREAS, base.making);
    const asked: Bitmap[] = [];
    for (const inspection of inspections) {
      const picture = await decodePicture(inspection, drawnFor(layout, rotateDeg), signal);
      try {
        const own = layPlate(base.job, turnedSize(picture.facts, rotateDeg));
        asked.push(await askedBits(picture, rotateDeg, own, signal));
      } finally {
        picture.close();
      }
    }
    const areas = { labels: labelsOf(asked), asked };
    return shaped(request, way, areas, [], facts, null, layout, printed, context);
  }
  return {
    inks: printed,
    draws: 'pictures',
    layout,
    facts: null,
    findings: [],
    areas: null,
    open: async (plate) => ({ input: pictures[plate]!, close: () => undefined }),
    close: () => undefined,
  };
}

/** Divides the picture of a set, or brings the pictures of its plates together. Throws JobError where they do not fit. */
export const divide = (request: SeparateRequest, context: RunContext): Promise<Division> =>
  request.picture ? divideOne(request, request.picture, context) : dividePictures(request, context);
