import { JobError, type Problem } from '../../../core/errors.ts';
import { startSheets } from '../../../core/start-sheets.ts';
import { thisRun } from '../../owner.ts';
import { now } from '../../today.ts';
import type { Call, Settings } from './settings.ts';
import { usage } from './words.ts';

/** Good impressions that are wanted, marked or not. */
const goodWanted = ({ edition, ap, pp, hc, extra }: Settings): number =>
  (edition ?? 0) + ap + pp + hc + extra;

const planned = (settings: Settings): number =>
  startSheets(goodWanted(settings), settings.pulls, settings.lossPercent / 100);

function planText(settings: Settings): string {
  const { pulls, lossPercent } = settings;
  return `${planned(settings)} sheets to start with: ${goodWanted(settings)} good impressions wanted, ${pulls} ${pulls === 1 ? 'pull' : 'pulls'} each, ${lossPercent} % spoiled a pull`;
}

export async function plan({ settings, talk }: Call): Promise<void> {
  if (settings.edition === undefined)
    throw usage(
      'no-edition-size',
      'It is not said how many are wanted',
      'Give --edition, such as --edition 24.',
    );
  const value = { wanted: goodWanted(settings), pulls: settings.pulls, lossPercent: settings.lossPercent };
  talk.result(
    talk.json ? JSON.stringify({ ...value, sheets: planned(settings) }, null, 2) : planText(settings),
  );
}

export async function begin({ words, settings, talk }: Call): Promise<void> {
  const { beginLedger, ledgerFileFor } = await import('../../../run/records/edition.ts');
  const missing: Problem[] = (
    [
      ['artist', settings.artist],
      ['edition', settings.edition],
    ] as const
  ).flatMap(([flag, value]) =>
    value === undefined
      ? [{ code: 'not-said', message: `--${flag} is not given`, hint: `Give --${flag}.` }]
      : [],
  );
  if (missing.length > 0) throw new JobError(missing);
  const title = words.join(' ');
  const path = settings.ledger ?? ledgerFileFor(title);
  const optional = {
    paper: settings.paper,
    workshop: settings.printedAt,
    otherEditions: settings.otherEditions,
  };
  const entry = await beginLedger(
    path,
    {
      kind: 'begin',
      title,
      artist: settings.artist!,
      year: settings.year ?? now().getFullYear(),
      medium: settings.medium,
      ...Object.fromEntries(Object.entries(optional).filter(([, value]) => value !== undefined)),
      sizes: { edition: settings.edition!, AP: settings.ap, PP: settings.pp, HC: settings.hc },
      sheets: settings.sheets ?? planned(settings),
      lossPercent: settings.lossPercent,
      pulls: settings.pulls,
      posthumous: settings.posthumous,
    },
    now(),
    thisRun(),
  );
  talk.result(talk.json ? JSON.stringify({ written: [path], entry }, null, 2) : path);
  if (settings.sheets === undefined) talk.say(planText(settings));
}
