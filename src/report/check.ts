import { MM_PER_INCH } from '../core/geometry.ts';
import type { CheckReport } from './check-schema.ts';
import type { Caution, Report } from './schema.ts';
import {
  holdOf,
  type InputFacts,
  inputOf,
  type JudgedParts,
  materialOf,
  passesOf,
  timeOf,
  workshopOf,
} from './sections.ts';
import { tidy } from './tidy.ts';

export interface CheckParts extends JudgedParts {
  readonly tool: Report['tool'];
  readonly facts: InputFacts;
  readonly process: string;
  readonly fire: 'dark' | 'light';
  readonly size: { readonly widthMm: number; readonly heightMm: number };
  readonly etchedPx: number;
  /** What was made to look at. */
  readonly files: Report['files'];
  readonly cautions: readonly Caution[];
}

/** Between these etched shares a plate may be either; outside them one is usual (from memory). */
const MOSTLY_KEPT = 0.4;
const MOSTLY_ETCHED = 0.6;

function polarityOf(etched: number): CheckReport['polarity'] {
  const share = `${Number((etched * 100).toFixed(1))} % would be etched`;
  if (etched > MOSTLY_ETCHED)
    return { guess: 'relief', basis: `${share}: more than an intaglio plate usually has (from memory)` };
  if (etched < MOSTLY_KEPT)
    return { guess: 'intaglio', basis: `${share}: less than a relief block usually has (from memory)` };
  return { guess: 'either', basis: `${share}: usual for both` };
}

/** Builds what `check` tells of one plate file. */
export function buildCheckReport(parts: CheckParts): CheckReport {
  const { facts, dpi, size, making, analysis } = parts;
  const totalPx = facts.uprightWidthPx * facts.uprightHeightPx;
  const pitchMm = MM_PER_INCH / dpi;
  const etched = parts.etchedPx / totalPx;
  return {
    schema: 'etchwright/check',
    version: 1,
    tool: parts.tool,
    input: inputOf(facts, undefined, null),
    plate: {
      widthMm: tidy(size.widthMm),
      heightMm: tidy(size.heightMm),
      widthPx: facts.uprightWidthPx,
      heightPx: facts.uprightHeightPx,
      dpi,
      pitchMm: tidy(pitchMm),
      process: parts.process,
      fire: parts.fire,
    },
    polarity: polarityOf(etched),
    coverage: {
      etched: tidy(etched),
      etchedMm2: tidy(parts.etchedPx * pitchMm * pitchMm),
      predicted: analysis.predictedPx === null ? null : tidy(analysis.predictedPx / totalPx),
      predictedMm2: analysis.predictedPx === null ? null : tidy(analysis.predictedPx * pitchMm * pitchMm),
    },
    workshop: workshopOf(making),
    material: materialOf(making),
    passes: passesOf(parts),
    time: timeOf(parts),
    hold: holdOf(parts),
    files: parts.files,
    cautions: [...parts.cautions],
  };
}
