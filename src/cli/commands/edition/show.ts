import { editionFacts } from '../../../store/edition/facts.ts';
import { faultLines } from '../../render/notebook.ts';
import { row, wrap } from '../../render/run.ts';
import { oneLine } from '../../shown.ts';
import type { Call } from './settings.ts';
import { usage } from './words.ts';

/** Where the words of an entry begin, behind its day and its id. */
const ENTRY_INDENT = 28;

export async function show(call: Call): Promise<void> {
  const { settings, talk } = call;
  const { openLedger, wantedLedger } = await import('../../../run/records/edition.ts');
  const path = await wantedLedger(settings.ledger);
  const read = await openLedger(path);
  const facts = editionFacts(read);
  if (talk.json) {
    talk.result(JSON.stringify({ file: path, edition: facts, faults: read.faults }, null, 2));
    return;
  }
  faultLines(path, read.faults).forEach(talk.say);
  if (!facts)
    throw usage('not-begun', `The ledger ${path} has not begun`, 'Begin it with `etchwright edition begin`.');
  const line = (label: string, text: string): string => row(label, text, talk);
  const { approved } = facts;
  talk.result(
    [
      wrap(
        `${talk.paint.bold(oneLine(facts.title))}, ${oneLine(facts.artist)} ${facts.year}, ${facts.closedOn ? `closed on ${facts.closedOn}` : 'open'}`,
        2,
      ),
      ...facts.marks
        .filter(({ declared }) => declared > 0)
        .map(({ mark, declared, given, destroyed, numbers }) =>
          line(
            mark,
            `${given} of ${declared}${destroyed > 0 ? `, ${destroyed} destroyed` : ''}${numbers ? `: ${numbers}` : ''}`,
          ),
        ),
      line(
        'BAT',
        approved ? `accepted on ${approved.on}${approved.by ? ` by ${approved.by}` : ''}` : 'none accepted',
      ),
      line('proofs', facts.proofs.map(({ kind, count }) => `${kind} ${count}`).join(', ') || 'none'),
      line(
        'sheets',
        `${facts.sheets} begun with, ${facts.spoiled} spoiled, ${facts.inHand} not accounted for`,
      ),
      ...facts.plates.map((plate) =>
        line(
          'plate',
          `${plate.name}${plate.duplicateOf ? ` (duplicate of ${plate.duplicateOf})` : ''}, state ${plate.state}, ${plate.impressions} pulled, ${plate.spoiled} spoiled${plate.printed ? `, printed ${plate.printed}` : ''}${plate.cancelled ? ', cancelled' : ''}`,
        ),
      ),
      ...facts.entries.map(
        ({ id, on, what, void: why }) =>
          `  ${on}  ${id}  ${wrap(oneLine(`${what}${why ? ` (counts for nothing: ${why})` : ''}`), ENTRY_INDENT)}`,
      ),
    ].join('\n'),
  );
}
