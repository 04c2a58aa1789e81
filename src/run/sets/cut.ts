/** Plates that are cut out of sheets: what their faces carry, and where each ink of them prints. */

import { closeSync } from 'node:fs';
import { type Bitmap, createBitmap, mirrorRow, placeRow } from '../../core/bitmap.ts';
import type { PlateLayout } from '../../core/geometry.ts';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import { solid } from '../../core/separations/bits.ts';
import type { CutPlan, Laid, SetInk } from '../../core/separations/contract.ts';
import { FULL_TONE } from '../../core/tone.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import type { Scratch } from '../../io/scratch.ts';
import { inkOf } from '../../job/inks.ts';
import type { ProofRequest, SetPrinting } from '../looking/proof.ts';
import type { RunContext } from '../plate/context.ts';
import type { Prepared } from '../plate/request.ts';
import type { Division, PieceMap } from './division.ts';
import { drawnFacts, drawnSource, type PlateSource } from './drawn.ts';
import type { SeparateRequest } from './request.ts';
import { faceScratch } from './source/scratch.ts';
import type { Turned } from './source/upright.ts';

/** Plates by name and main ink; one that no ink of the picture goes with is printed in the ink of a plain plate. */
const platesOf = (cut: CutPlan, inks: readonly SetInk[], inkColour: string): SetInk[] =>
  cut.plates.map(({ name, ink }) => (ink === null ? inkOf(name, inkColour) : { ...inks[ink]!, name }));

/** What a plate prints whose faces are solid: nothing is engraved where all prints that is left. */
const solidFaces = (faces: Bitmap, process: ProcessKind): Bitmap =>
  processes[process].prints === 'kept' ? solid(faces.widthPx, faces.heightPx) : faces;

/** Tone of what is cut away: such that nothing is engraved there. */
const untouchedTone = (process: ProcessKind): number =>
  processes[process].prints === 'kept' ? FULL_TONE : 0;

/** A division whose plates are cut: `faces` are where each carries ink, `picture` what they carry; null for ink all over. */
export async function cutDivision(
  { base, looking }: SeparateRequest,
  areas: Division,
  plan: { readonly cut: CutPlan; readonly faces: readonly Bitmap[]; readonly map: PieceMap | null },
  picture: Turned | null,
  facts: PictureFacts,
  { scratchFolder, signal }: RunContext,
): Promise<Division> {
  const { process } = base.job;
  const { layout, inks } = areas;
  const { cut, faces, map } = plan;
  const division = {
    ...areas,
    plates: platesOf(cut, inks, looking.inkColour),
    areas: null,
    cut: { ...cut, map },
  };
  if (picture === null)
    return {
      ...division,
      open: (plate) => drawnSource(solidFaces(faces[plate]!, process), facts, layout, scratchFolder, signal),
    };
  const scratches: Scratch[] = [];
  const close = (): void => {
    for (const { fd } of scratches) closeSync(fd);
  };
  try {
    for (const face of faces)
      scratches.push(await faceScratch(picture, layout, face, untouchedTone(process), scratchFolder, signal));
  } catch (error) {
    close();
    throw error;
  }
  const told = { ...drawnFacts(facts, layout), depthBits: 16 as const, whiteCode: 65535 };
  return {
    ...division,
    draws: 'tones',
    open: async (plate): Promise<PlateSource> => ({
      input: {
        name: facts.name,
        picture: { facts: told, scratch: scratches[plate]! },
        ink: null,
        told: facts,
      },
      close: () => undefined,
    }),
    close,
  };
}

/** A map of the picture as it lies on the finished plate. */
function onPlate(map: Bitmap, { widthPx, heightPx, box }: PlateLayout, mirrored: boolean): Bitmap {
  const plate = createBitmap(widthPx, heightPx);
  for (let y = 0; y < map.heightPx; y++) {
    const to = (box.yPx + y) * plate.strideBytes;
    placeRow(map.data, y * map.strideBytes, map.widthPx, plate.data, to, box.xPx);
    if (mirrored) mirrorRow(plate.data, to, widthPx);
  }
  return plate;
}

/** Paper has no plate: it lies there whole, as what a block leaves standing prints. */
const AS_PAPER = { process: 'relief', maxPoolMm: null } as const;

function printingOf(
  { ink, plate, map }: Laid,
  { inks, layout }: Division,
  plates: readonly ProofRequest[],
): SetPrinting | null {
  const of = plates[plate ?? 0];
  if (!of) return null;
  const window = onPlate(map, layout, of.mirrored);
  if (plate !== null) return { request: of, ink: inks[ink]!, window };
  const { widthPx, heightPx } = of.bitmap;
  const request = { ...of, ...AS_PAPER, bitmap: createBitmap(widthPx, heightPx) };
  return { request, ink: { ...inks[ink]!, opaque: true }, window };
}

/** The one printing of pieces put back together, as one of every ink: papers first, then what the plates carry. */
export function laidPrintings(
  division: Division,
  made: readonly Prepared[],
  looking: ProofRequest['settings'],
) {
  const { cut, plates } = division;
  if (!cut) return [];
  const printed = made.flatMap(({ printed: one }) => (one ? [{ ...one, settings: looking }] : []));
  const printings = cut.laid.flatMap((laid) => printingOf(laid, division, printed) ?? []);
  if (!cut.ofPaper) return printings;
  return [...printings, ...printed.map((request, plate) => ({ request, ink: plates[plate]! }))];
}
