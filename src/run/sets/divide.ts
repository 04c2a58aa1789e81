import { closeSync } from 'node:fs';
import { type Bitmap, countBits } from '../../core/bitmap.ts';
import { JobError, type Problem } from '../../core/errors.ts';
import { MM_PER_INCH, type PlateLayout } from '../../core/geometry.ts';
import { parseColour } from '../../core/proof/colour.ts';
import { labelsOf } from '../../core/separations/bits.ts';
import type {
  Areas,
  CutPlan,
  SeparationWay,
  SetFinding,
  SetInk,
  TonesWay,
} from '../../core/separations/contract.ts';
import { inksOf } from '../../core/separations/palette.ts';
import { swallowSmall } from '../../core/separations/swallow.ts';
import { type ColourPicture, decodeColours, decodePicture } from '../../io/read/decode.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import { type Inspection, inspectPicture } from '../../io/read/inspect.ts';
import { inkOf } from '../../job/inks.ts';
import { cutUse } from '../../job/outline.ts';
import { layPrint } from '../../job/plan.ts';
import type { RunContext } from '../plate/context.ts';
import { beginScreens } from '../plate/decide.ts';
import { drawnFor, turnedSize } from '../plate/open-input.ts';
import { refuseWithoutRoom, SET_OF_AREAS } from '../plate/room.ts';
import type { Pool } from '../pool.ts';
import { cutDivision } from './cut.ts';
import type { Division } from './division.ts';
import { drawnSource } from './drawn.ts';
import { foundNames } from './found.ts';
import { plateJobOf } from './jobs.ts';
import type { SeparateRequest } from './request.ts';
import { askedBits, labelColours, labelDarkness, sampleColours, splitScratches } from './source.ts';
import { splitTable } from './split-table.ts';

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
  const names = foundNames(method!.def, count);
  return inksOf(sampleColours({ picture, rotateDeg }, SAMPLES), count, paper, SEED).map((colour, index) =>
    inkOf(names[index]!, colour),
  );
}

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
): { division: Division; cut: { cut: CutPlan; faces: readonly Bitmap[] } | null } {
  const pxPerMm = base.job.dpi / MM_PER_INCH;
  const { plates, findings, cut } = way.shape(areas, {
    pxPerMm,
    inks,
    smallestPx: settings.smallestMm * pxPerMm,
    kerfMm: way.cuts ? cutUse(base.job, base.making, way.cuts).kerfMm : 0,
  });
  const division: Division = {
    inks,
    plates: inks,
    draws: 'areas',
    onRaster: true,
    layout,
    facts,
    findings: [...before, ...findings, ...(cut ? [] : unseen(plates))],
    areas: plates,
    cut: null,
    open: (plate) => drawnSource(plates[plate]!, told[plate] ?? told[0]!, layout, scratchFolder, signal),
    close: () => undefined,
  };
  return { division, cut: cut ? { cut, faces: plates } : null };
}

/** A picture divided into areas by its own colours, or by those of another picture that lies over it. */
async function divideAreas(
  request: SeparateRequest,
  way: AreasWay,
  picture: ColourPicture,
  layout: PlateLayout,
  context: RunContext,
): Promise<Division> {
  const { rotateDeg } = request.base.job;
  const { facts } = picture;
  const map = request.pieceMap ? await openMap(request, request.pieceMap, layout, context) : null;
  try {
    const divides = map?.picture ?? picture;
    const inks = inksFor(request, divides, rotateDeg);
    const { areas, findings } = await areasOf(request, way, divides, map?.layout ?? layout, inks, context);
    const { division, cut } = shaped(request, way, areas, findings, [facts], facts, layout, inks, context);
    if (!cut) return division;
    const told = map && { name: map.picture.facts.name, sha256: map.picture.facts.sha256 };
    const carried = way.faces?.(map !== null) === 'picture' ? { picture, rotateDeg } : null;
    return await cutDivision(request, division, { ...cut, map: told }, carried, facts, context);
  } finally {
    map?.picture.close();
  }
}

/** The picture that divides another, on the same raster. JobError where it has another shape. */
async function openMap(
  { base }: SeparateRequest,
  input: NonNullable<SeparateRequest['pieceMap']>,
  { box }: PlateLayout,
  { signal, scratchFolder }: RunContext,
): Promise<{ picture: ColourPicture; layout: PlateLayout }> {
  const { maxPixels, rotateDeg } = base.job;
  const inspection = await inspectPicture(
    input,
    { page: 1, maxPixels, scratchDir: scratchFolder, colour: true },
    signal,
  );
  const expected = layPrint(base.job, turnedSize(inspection.facts, rotateDeg));
  const picture = await decodeColours(inspection, drawnFor(expected, rotateDeg), signal);
  const layout = layPrint(base.job, turnedSize(picture.facts, rotateDeg));
  // one pixel of a proportion is the rounding of its size
  if (Math.abs(layout.box.widthPx - box.widthPx) <= 1 && Math.abs(layout.box.heightPx - box.heightPx) <= 1)
    return { picture, layout: { ...layout, box } };
  picture.close();
  throw new JobError(
    [
      {
        code: 'piece-map-differs',
        message: `--piece-map: ${input.name} would be ${layout.box.widthPx} × ${layout.box.heightPx} pixels of the plate, but the picture is ${box.widthPx} × ${box.heightPx}`,
        hint: 'Draw the map on a copy of the picture, so that both have the same proportion.',
      },
    ],
    'input',
  );
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
  const expected = layPrint(base.job, turnedSize(inspection.facts, rotateDeg));
  const way = method!.def.way(method!.params);
  if (way.draws === 'areas') refuseWithoutRoom({ ...expected, dpi: base.job.dpi }, SET_OF_AREAS, base.making);
  // its threads are started for tones alone: areas are shaped in this one, and want the memory
  const poolOf = (): Pool => context.poolFor((expected.widthPx * expected.heightPx) / 1000);
  const named = { kind: method!.def.kind, params: method!.params };
  const build = (tones: TonesWay, inks: readonly SetInk[]): Promise<Uint16Array> => {
    const paper = parseColour(looking.paperColour, 'paper');
    const divided = { plates: inks, layout: expected, draws: 'tones', onRaster: false, cut: null } as const;
    const jobs = inks.map((_, index) => plateJobOf(request, divided, index));
    const table = splitTable(named, tones, inks, paper, poolOf());
    // one thread is long about the table's beginning, and nothing else is to do meanwhile
    beginScreens(jobs, poolOf(), context.builtScreens);
    return table;
  };
  // while the picture is being decoded
  const early = way.draws === 'tones' && request.inks ? build(way, request.inks) : null;
  // whoever asks for it hears of a failure
  early?.catch(() => undefined);
  const picture = await decodeColours(inspection, drawnFor(expected, rotateDeg), signal);
  try {
    const layout = layPrint(base.job, turnedSize(picture.facts, rotateDeg));
    // awaited here, since the picture is closed afterwards
    if (way.draws === 'areas') return await divideAreas(request, way, picture, layout, context);
    const inks = inksFor(request, picture, rotateDeg);
    const table = await (early ?? build(way, inks));
    const scratches = await splitScratches(
      picture,
      named,
      table,
      inks.length,
      poolOf(),
      scratchFolder,
      signal,
    );
    const { facts } = picture;
    return {
      inks,
      plates: inks,
      draws: 'tones',
      onRaster: false,
      layout,
      facts,
      findings: [],
      areas: null,
      cut: null,
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
  const layout = layPrint(base.job, turnedSize(facts[0]!, rotateDeg));
  const printed = inks ?? pictures.map(({ plate }) => inkOf(plate, looking.inkColour));
  const way = method?.def.way(method.params);
  if (way?.draws === 'areas') {
    refuseWithoutRoom({ ...layout, dpi: base.job.dpi }, SET_OF_AREAS, base.making);
    const asked: Bitmap[] = [];
    for (const inspection of inspections) {
      const picture = await decodePicture(inspection, drawnFor(layout, rotateDeg), signal);
      try {
        const own = layPrint(base.job, turnedSize(picture.facts, rotateDeg));
        asked.push(await askedBits(picture, rotateDeg, own, signal));
      } finally {
        picture.close();
      }
    }
    const areas = { labels: labelsOf(asked), asked };
    return shaped(request, way, areas, [], facts, null, layout, printed, context).division;
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

/** Divides the picture of a set, or brings the pictures of its plates together. Throws JobError where they do not fit. */
export const divide = (request: SeparateRequest, context: RunContext): Promise<Division> =>
  request.picture ? divideOne(request, request.picture, context) : dividePictures(request, context);
