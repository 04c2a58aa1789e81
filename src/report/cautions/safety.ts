import { LOCAL_RULES, safetyFor } from '../../core/cautions-safety.ts';
import { materialOfKind } from '../../core/materials/index.ts';
import { processes } from '../../core/processes/index.ts';
import type { Judged } from '../judged.ts';
import type { Caution } from '../schema.ts';
import { caution } from './index.ts';

/** Codes of these notes begin so; people are told the first of them, scripts and sheets all. */
export const SAFETY = 'safety';

const note = (code: string, sentence: string): Caution =>
  caution({
    code,
    severity: 'note',
    text: sentence.replace(/\.$/, ''),
    cure: 'Ask trained staff where you are not sure.',
  });

/** The room's own rules first, then short reminders on what process and sheet bring with them. */
export function safetyCautions({ process, making }: Judged): Caution[] {
  const topics = [...processes[process].safety, ...(materialOfKind(making.sheet.kind)?.safety ?? [])];
  return [
    note(SAFETY, LOCAL_RULES),
    ...safetyFor(topics).map(({ topic, text }) => note(`${SAFETY}-${topic}`, text)),
  ];
}
