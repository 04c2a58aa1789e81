import type { LedgerDraft } from '../../../store/edition/entry.ts';
import { editionFacts, entryWords } from '../../../store/edition/facts.ts';
import { oneLine } from '../../shown.ts';
import { now } from '../../today.ts';
import type { Call } from './settings.ts';
import { usage } from './words.ts';

/** Enters something and says what stands in the ledger now. */
export async function enterAs({ settings, talk }: Call, draft: LedgerDraft): Promise<void> {
  const { enter, wantedLedger } = await import('../../../run/records/edition.ts');
  const path = await wantedLedger(settings.ledger);
  const { entry, after } = await enter(path, draft, now());
  if (talk.json) {
    talk.result(JSON.stringify({ entry, edition: editionFacts(after) }, null, 2));
    return;
  }
  talk.result(`${entry.id}  ${oneLine(entryWords(entry))}`);
  const facts = editionFacts(after)!;
  talk.say(`${facts.inHand} of ${facts.sheets} sheets not accounted for`);
}

export async function plateFacts(report: string | undefined) {
  if (report === undefined)
    throw usage('no-report', 'It is not said which plate that is', 'Name its report with --report.');
  const { plateOfReport } = await import('../../../run/records/edition-plate.ts');
  return plateOfReport(report);
}
