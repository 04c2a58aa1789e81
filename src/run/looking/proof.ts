import type { Bitmap } from '../../core/bitmap.ts';
import type { HoldCheck } from '../../core/hold/contract.ts';
import { openHoldMap } from '../../core/holdmap/holdmap.ts';
import type { Fault } from '../../core/holdmap/sheet.ts';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import type { PlaneSize } from '../../core/proof/box.ts';
import { parseColour } from '../../core/proof/colour.ts';
import {
  type InkedPlate,
  type InkPlane,
  openInk,
  proofSize,
  type ReducedPlate,
  reducedInk,
} from '../../core/proof/ink.ts';
import { inBytes, type KeptInk, keepingInk, keptPlane } from '../../core/proof/kept-ink.ts';
import type { Ink } from '../../core/proof/overprint.ts';
import { openProof, type Proof, type ProofPaper, printedOn, type RgbRows } from '../../core/proof/proof.ts';
import { NO_STRETCH, type Stretch } from '../../core/register/stretch.ts';
import type { SpotOnPitch } from '../../core/spot/widths.ts';
import type { ProofSettings } from '../../job/proof-settings.ts';
import { holdName } from '../../report/cautions/hold.ts';

/** How a finished plate is printed; plain data. */
export interface PrintAs {
  readonly process: ProcessKind;
  readonly mirrored: boolean;
  /** Widest etched pool that still holds ink, from the limits of the making; null where none is known. */
  readonly maxPoolMm: number | null;
  /** What the plate was made larger by; a proof has it taken off again. */
  readonly stretch: Stretch;
  readonly settings: ProofSettings;
}

/** A finished plate and how it is printed. */
export interface ProofRequest extends PrintAs {
  /** Bit 1 = etched, as the plate lies. */
  readonly bitmap: Bitmap;
  readonly spot: SpotOnPitch;
}

function inkedPlate({
  process,
  bitmap,
  mirrored,
  spot,
  maxPoolMm,
  stretch,
  settings,
}: ProofRequest): InkedPlate {
  const { prints, inking } = processes[process];
  return {
    map: bitmap,
    mirrored,
    pitchMm: spot.pitchMm,
    stretch,
    spot,
    prints,
    squashMm: inking.squashes ? settings.squashMm : 0,
    poolMm: inking.wiped ? maxPoolMm : null,
    plateTone: inking.wiped ? settings.plateTonePercent / 100 : 0,
  };
}

/** The print as it should look, ready to be written by rows; print-reading, at its own size. Ink that is to be kept is, once all rows are written. */
export function makeProof(request: ProofRequest, kept: KeptInk | null = null): Proof {
  const { settings, process } = request;
  const { plateMark } = processes[process].inking;
  const ink = { light: parseColour(settings.inkColour, 'ink'), opaque: true };
  const paper = {
    light: parseColour(settings.paperColour, 'paper'),
    marginMm: settings.marginMm,
    plateMark,
  };
  const plane = openInk(inkedPlate(request), settings.proofPpi);
  return printedOn([{ plane: kept ? keepingInk(plane, kept) : plane, ink }], paper, settings.proofPpi);
}

/** A printing of a set: a finished plate, and the ink it is printed in. */
export interface SetPrinting {
  readonly request: ProofRequest;
  readonly ink: Ink;
  /** Where this ink is on the plate, as it lies; everywhere where absent. */
  readonly window?: Bitmap;
}

/** The print of several plates over each other, in the order they are printed; at least one. */
export function makeSetProof(printings: readonly SetPrinting[], settings: ProofSettings): Proof {
  const plateMark = printings.some(({ request }) => processes[request.process].inking.plateMark);
  const paper = {
    light: parseColour(settings.paperColour, 'paper'),
    marginMm: settings.marginMm,
    plateMark,
  };
  const inked = printings.map(({ request, ink, window }) => ({
    plate: { ...inkedPlate(request), ...(window ? { window } : {}) },
    ink,
  }));
  return openProof(inked, paper, settings.proofPpi);
}

const GROUND: ProofPaper = {
  light: parseColour('white', 'hold map'),
  marginMm: 0,
  plateMark: false,
  coarse: true,
};
const GROUND_INK: Ink = { light: parseColour('#c4c4c4', 'hold map'), opaque: true };

const faultsOf = (checks: readonly HoldCheck[], words: ReadonlyMap<string, string>): Fault[] =>
  checks.map(({ code, count, places }) => ({
    name: holdName(code),
    text: words.get(code) ?? holdName(code),
    found: count > 0,
    places,
  }));

/** The pixels of ink that a proof may keep for a hold map; null where its plate is stretched, since places on the map are those of the plate. */
export function keptSize({ bitmap, spot, stretch, settings }: ProofRequest): PlaneSize | null {
  if (stretch.x !== NO_STRETCH.x || stretch.y !== NO_STRETCH.y) return null;
  return proofSize(bitmap, spot.pitchMm, settings.proofPpi, NO_STRETCH);
}

/**
 * What will not hold, drawn over the proof of the same plate in a light ink; `words` says what each check found, by its code. The ink is
 * the proof's, where that has kept it, or is made again; the map is the same.
 */
export function makeHoldMap(
  request: ProofRequest,
  checks: readonly HoldCheck[],
  words: ReadonlyMap<string, string>,
  kept: KeptInk | null = null,
): RgbRows {
  const { proofPpi } = request.settings;
  const own = (): InkPlane => inBytes(openInk({ ...inkedPlate(request), stretch: NO_STRETCH }, proofPpi));
  const ground = printedOn([{ plane: kept ? keptPlane(kept) : own(), ink: GROUND_INK }], GROUND, proofPpi);
  return openHoldMap(ground, faultsOf(checks, words), null);
}

/** Likewise to be shown small, over a print of the reduced plate: marks `enlarged` so many times, and no words. */
export function makeSmallHoldMap(
  request: ProofRequest,
  reduced: ReducedPlate,
  checks: readonly HoldCheck[],
  enlarged: number,
): RgbRows {
  const { bitmap, spot, process, mirrored, settings } = request;
  const { prints } = processes[process];
  const size = proofSize(bitmap, spot.pitchMm, settings.proofPpi, NO_STRETCH);
  const plane = reducedInk(reduced, { prints, mirrored }, size);
  const ground = printedOn([{ plane, ink: GROUND_INK }], GROUND, settings.proofPpi);
  return openHoldMap(ground, faultsOf(checks, new Map()), enlarged);
}
