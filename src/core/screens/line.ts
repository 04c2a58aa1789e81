import * as z from 'zod';
import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import { defineScreen, type ScreenPlace } from './contract.ts';
import { achievedBy, type Lines, layoutFor } from './line/layout.ts';
import { linePattern } from './line/pattern.ts';
import { climbOf, narrowestBand } from './line/widths.ts';
import {
  angleDeg,
  fragmentsTrim,
  lpiOf,
  narrowestOf,
  periodPx,
  rulingFor,
  rulingLpi,
  tooFine,
} from './ruling.ts';
import { layTile, openTiled } from './tiled.ts';

interface Params {
  readonly rulingLpi?: number | undefined;
  readonly angleDeg: number;
  readonly waveLengthMm: number;
  readonly waveHeightMm: number;
}

/** Steeper than half a right angle, lines of even width across their direction would crowd on the slopes. */
const STEEPEST = 1;

const linesOf = (params: Params, place: ScreenPlace): Lines => ({
  periodPx: periodPx(rulingFor(params.rulingLpi, place), place),
  angleDeg: params.angleDeg,
  waveLengthPx: params.waveLengthMm * place.pxPerMm,
  waveHeightPx: params.waveLengthMm > 0 ? params.waveHeightMm * place.pxPerMm : 0,
});

/** Lines as an engraver cuts them: their width follows the tone, and they break into dashes where it is lightest. */
export const line = defineScreen({
  kind: 'line',
  summary: 'engraved lines, straight or waved, that swell with the tone and break in the lights',
  params: z.strictObject({
    rulingLpi,
    angleDeg,
    waveLengthMm: z
      .number()
      .min(0)
      .max(30)
      .default(0)
      .describe('length of the slow wave that lines follow; 0 for straight lines')
      .meta({ unit: 'mm' }),
    waveHeightMm: z
      .number()
      .min(0)
      .max(20)
      .default(1)
      .describe('height of that wave from trough to crest')
      .meta({ unit: 'mm', onlyWith: ['waveLengthMm'] }),
  }),
  leadInRows: 0,
  frame: (_, place) => ({ trim: fragmentsTrim(place) }),
  compensates: 'curve',
  packs: 'repeats',
  forLineArt: false,
  hasGrid: true,
  spacing: ({ rulingLpi: lpi }, place) => ({
    mm: MM_PER_INCH / rulingFor(lpi, place),
    of: 'a period of its lines',
    finer: 'a finer --ruling',
  }),
  widen: 'a coarser --ruling',
  tones: () => null,
  settle(params, place) {
    const lines = linesOf(params, place);
    const lpi = rulingFor(params.rulingLpi, place);
    if (climbOf(lines) > STEEPEST) {
      const most = Math.floor((params.waveLengthMm * STEEPEST * 100) / Math.PI) / 100;
      throw new EtchError(
        'usage',
        'wave-too-steep',
        `A wave ${params.waveHeightMm} mm high and ${params.waveLengthMm} mm long climbs too steeply for even lines`,
        `Ask for a height of ${most} mm or less, or for a longer wave.`,
      );
    }
    const { inkPx, paperPx } = narrowestOf(place);
    if (narrowestBand(inkPx, lines) + narrowestBand(paperPx, lines) > lines.periodPx)
      throw tooFine(lpi, place, 'leaves no room for a line and a gap');
    return { ...params, rulingLpi: lpi };
  },
  build(params, place) {
    const lines = linesOf(params, place);
    const layout = layoutFor(lines);
    return layTile(layout, linePattern(lines, layout, narrowestOf(place)));
  },
  open: (_, { widthPx }, tile) => openTiled(tile, widthPx),
  achieved(params, place) {
    const lines = linesOf(params, place);
    const layout = layoutFor(lines);
    const ruled = achievedBy(layout, layout.lines);
    const waved = lines.waveLengthPx > 0 && lines.waveHeightPx > 0;
    return {
      rulingLpi: lpiOf(ruled.periodPx, place),
      angleDeg: ruled.angleDeg,
      ...(waved && { waveLengthMm: achievedBy(layout, layout.wave).periodPx / place.pxPerMm }),
    };
  },
});
