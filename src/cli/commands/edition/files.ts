import { editionFacts } from '../../../store/edition/facts.ts';
import { thisRun } from '../../owner.ts';
import { openProgress } from '../../progress.ts';
import type { Call } from './settings.ts';
import { usage } from './words.ts';

export const writeSheet =
  (kind: 'edition' | 'disclosure') =>
  async ({ settings, talk }: Call): Promise<void> => {
    const { openLedger, wantedLedger, writePage } = await import('../../../run/records/edition.ts');
    const { editionPages } = await import('../../../report/edition-sheet.ts');
    const ledger = await wantedLedger(settings.ledger);
    const facts = editionFacts(await openLedger(ledger));
    if (!facts)
      throw usage(
        'not-begun',
        `The ledger ${ledger} has not begun`,
        'Begin it with `etchwright edition begin`.',
      );
    const path = await writePage(ledger, kind, editionPages[kind](facts), settings, thisRun());
    talk.result(talk.json ? JSON.stringify({ written: [path] }) : path);
  };

export async function deface({ words, settings, talk, signal }: Call): Promise<void> {
  const { openLedger, stemOf, wantedLedger } = await import('../../../run/records/edition.ts');
  const { writeDefacing } = await import('../../../run/records/deface.ts');
  const { openSession } = await import('../../../run/session.ts');
  const { resolveMaking } = await import('../../../job/making.ts');
  const { resolveJob } = await import('../../../job/layers.ts');
  const ledger = await wantedLedger(settings.ledger);
  const { plates } = (await openLedger(ledger)).ledger;
  const plate = plates.get(words[0]!);
  if (!plate)
    throw usage(
      'no-such-plate',
      `The edition has no plate "${words[0]}"`,
      `It has ${[...plates.keys()].join(', ') || 'none'}.`,
    );
  const { job } = resolveJob([{ origin: 'flag', name: '', values: { process: plate.process } }]);
  const progress = openProgress(talk);
  const session = await openSession({ owner: thisRun(), workers: 1, signal, progress: progress.step });
  try {
    const written = await writeDefacing(
      {
        plate,
        name: `${stemOf(ledger)}.${plate.name}.cancelled`,
        making: resolveMaking(job!, null).making,
        folder: settings.out,
        formats: settings.format,
        overwrite: settings.overwrite,
      },
      session.context,
    );
    progress.clear();
    talk.result(talk.json ? JSON.stringify({ written }) : written.join('\n'));
    talk.say(
      'It etches a cross over the whole plate, which cannot be undone. Then enter it with `edition cancel`.',
    );
  } finally {
    progress.clear();
    await session.close();
  }
}
