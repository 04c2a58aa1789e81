import { EtchError } from '../core/errors.ts';
import { reasonsAgainst } from '../report/cautions/index.ts';
import type { Caution } from '../report/schema.ts';

/** Why something, such as "the sheets", was refused: each of the reasons, with its cure. */
export function refusal(
  what: string,
  cautions: readonly Pick<Caution, 'code' | 'severity' | 'text' | 'cure'>[],
  strict: boolean,
): EtchError {
  const reasons = reasonsAgainst(cautions, strict);
  return new EtchError(
    'refused',
    reasons[0]?.code ?? 'refused',
    `Refused ${what}: ${reasons.map(({ text, cure }) => `${text}. ${cure}`).join(' ')}`,
    'Nothing was written.',
  );
}
