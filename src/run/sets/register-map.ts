import { openHoldMap } from '../../core/holdmap/holdmap.ts';
import type { Fault, MapWords } from '../../core/holdmap/sheet.ts';
import { type Light, parseColour } from '../../core/proof/colour.ts';
import type { InkedPlate } from '../../core/proof/ink.ts';
import { openProof, type RgbRows } from '../../core/proof/proof.ts';
import { NO_STRETCH } from '../../core/register/stretch.ts';
import type { SliverArea } from '../../core/register/tolerance.ts';
import { lightnessOf } from '../../core/separations/lab.ts';
import { decodeSrgb } from '../../core/srgb.ts';
import { plateSlipWords } from '../../report/set/register.ts';
import { num } from '../../report/words.ts';
import type { Division } from './division.ts';
import type { JudgedRegister } from './register.ts';

/** Codes of grey that black and white inks are shown by: light enough for marks over them, apart enough to be told. */
const GREYS = { darkest: 168, lightest: 236 } as const;

function greyOf(light: Light): Light {
  const share = lightnessOf(light) / 100;
  const level = decodeSrgb((GREYS.darkest + share * (GREYS.lightest - GREYS.darkest)) / 255);
  return [level, level, level];
}

const saysOf = (trustedMm: number): MapWords => ({
  found: `Black: paper that shows where one plate lies ${num(trustedMm, 2)} mm off, whichever way, and all others lie right. Numbered: the largest places of each plate.`,
  none: `No paper shows between inks where one plate lies ${num(trustedMm, 2)} mm off and all others lie right.`,
  clear: 'Bare nothing so far off',
});

const placeOf = ({ left, top, right, bottom }: SliverArea, pitchMm: number) => ({
  xMm: left * pitchMm,
  yMm: top * pitchMm,
  widthMm: (right - left) * pitchMm,
  heightMm: (bottom - top) * pitchMm,
});

/**
 * The map of a set's register: the picture in greys, in black what any plate bares so far off as its way of laying is
 * trusted, and the largest places of each plate by the colours, hatchings and letters of the hold map. `ppi`: pixels an inch.
 */
export function makeRegisterMap(
  { areas, inks }: Pick<Division, 'areas' | 'inks'>,
  { facts, tolerance }: JudgedRegister,
  pitchMm: number,
  ppi: number,
): RgbRows {
  const bare = {
    mirrored: false,
    pitchMm,
    stretch: NO_STRETCH,
    spot: null,
    prints: 'etched',
    squashMm: 0,
    poolMm: null,
    plateTone: 0,
  } as const satisfies Omit<InkedPlate, 'map'>;
  const layer = (map: InkedPlate['map'], light: Light) => ({
    plate: { ...bare, map },
    ink: { light, opaque: true },
  });
  const white = parseColour('white', 'register map');
  const ground = openProof(
    [
      ...areas!.map((map, index) => layer(map, greyOf(inks[index]!.light))),
      layer(tolerance.map, parseColour('black', 'register map')),
    ],
    { light: white, marginMm: 0, plateMark: false, coarse: true },
    ppi,
  );
  const faults = facts.slivers.map((sliver, index): Fault => {
    const { sliverMm2, worst } = tolerance.plates[index]!;
    return {
      name: sliver.plate,
      text: plateSlipWords(sliver, facts.trustedMm),
      found: sliverMm2 > 0,
      places: worst.map((area) => placeOf(area, pitchMm)),
    };
  });
  return openHoldMap(ground, faults, null, saysOf(facts.trustedMm));
}
