import { MM_PER_INCH } from '../../core/geometry.ts';
import { inkOf } from '../../job/inks.ts';
import { cutUse } from '../../job/outline.ts';
import { cutCautions } from '../../report/cautions/cut.ts';
import { caution, lowResolution } from '../../report/cautions/index.ts';
import { remadeCautions } from '../../report/cautions/remade.ts';
import { beatCautions, findingCautions, oneWayCautions } from '../../report/cautions/set.ts';
import type { Caution } from '../../report/schema.ts';
import { aidCautions } from '../../report/set/aid.ts';
import { blockCautions } from '../../report/set/block.ts';
import { cutFacts } from '../../report/set/cut.ts';
import { registerCautions } from '../../report/set/register.ts';
import type { SetReport } from '../../report/set/schema.ts';
import { beatsOf, sheetsOf, totalsOf } from '../../report/set/set.ts';
import { tidy } from '../../report/tidy.ts';
import { drawnAtFull } from '../plate/open-input.ts';
import type { Prepared } from '../plate/request.ts';
import { aidFacts } from './aid.ts';
import { setAsked, setSha256 } from './asked.ts';
import { blockOf } from './block.ts';
import type { Division } from './division.ts';
import type { PlateJob, SeparateRequest } from './request.ts';

/** How often each sheet of paper is printed on; pieces are printed all together. */
export const printingsOf = ({ plates, cut }: Division): number => (cut ? 1 : plates.length);

/** What is cut of a set; null where nothing is. */
function cutOf({ cut, layout, inks }: Division, { job, making }: PlateJob): SetReport['cut'] {
  if (!cut) return null;
  const use = cutUse(job, making, cut.ofPaper ? 'paper' : 'plates');
  const names = inks.map(({ name }) => name);
  return cutFacts(cut, use, names, layout, MM_PER_INCH / job.dpi);
}

/** The report of a set, but for its files, which are not written yet. */
export function reportOf(
  request: SeparateRequest,
  division: Division,
  jobs: readonly PlateJob[],
  made: readonly Prepared[],
  register: SetReport['register'],
  depths: readonly (number | null)[],
  tool: SetReport['tool'],
): SetReport {
  const { method, settings, looking } = request;
  const { inks, layout, findings, facts } = division;
  const oneBlock = method?.def.oneBlock ?? false;
  const plates = made.map(({ report }, index) => ({
    number: index + 1,
    name: division.plates[index]!.name,
    ink: { colour: division.plates[index]!.colour, opaque: division.plates[index]!.opaque },
    report,
  }));
  const sheets = sheetsOf(
    settings.edition,
    settings.editionProofs,
    settings.lossPercent,
    printingsOf(division),
  );
  // pieces lie beside each other, never over
  const beats = division.cut ? [] : beatsOf(plates);
  const aid = aidFacts(request, division, jobs);
  const block = oneBlock ? blockOf(made, depths) : null;
  const cut = cutOf(division, request.base);
  const { dpi } = request.base.job;
  const pitchMm = tidy(MM_PER_INCH / dpi);
  const cautions: Caution[] = [
    ...(facts?.cautions ?? []).map(({ code, severity, text, cure }) =>
      caution({ code, severity, text: text.replace(/\.$/, ''), cure }),
    ),
    ...(division.draws === 'areas' && facts && !drawnAtFull(facts, layout, dpi)
      ? lowResolution({ layout }, true)
      : []),
    ...findingCautions(
      findings,
      inks.map(({ name }) => name),
      pitchMm,
    ),
    ...cutCautions(division.cut, cut, request.base.making, {
      x: layout.box.xPx * pitchMm,
      y: layout.box.yPx * pitchMm,
    }),
    ...beatCautions(beats),
    ...aidCautions(aid, pitchMm),
    ...registerCautions(register),
    ...blockCautions(block, request.base.making.sheet.thicknessMm),
    ...(oneBlock ? oneWayCautions(plates, sheets) : []),
    ...missingPlates(request, plates),
  ];
  const asked = setAsked(request);
  const { widthMm, heightMm, widthPx, heightPx, box } = layout;
  return {
    schema: 'etchwright/set',
    version: 1,
    tool,
    name: request.name,
    separation: method && {
      kind: method.def.kind,
      settings: { ...method.params, smallestMm: settings.smallestMm },
      oneBlock,
    },
    asked,
    askedSha256: setSha256({ asked, plates }),
    canvas: { widthMm, heightMm, widthPx, heightPx, dpi, pitchMm, box: { ...box } },
    paper: inkOf('paper', looking.paperColour).colour,
    plates,
    beats,
    aid,
    register,
    cut,
    block,
    sheets,
    totals: totalsOf(plates),
    files: [],
    cautions,
  };
}

/** Told of plates of a record that a set made again does not have. */
const missingPlates = ({ expects }: SeparateRequest, plates: SetReport['plates']): Caution[] =>
  [...(expects?.bits ?? [])]
    .filter(([name]) => !plates.some((plate) => plate.name === name))
    .flatMap(([, bitsSha256]) => remadeCautions({ anyway: expects!.anyway, bitsSha256 }, 'none'));
