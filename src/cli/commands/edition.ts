import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { startSheets } from '../../core/start-sheets.ts';
import { settingsOf } from '../../job/settings.ts';
import { type EditionSettings, editionSettings } from '../../run/edition-settings.ts';
import { type RunSettings, runSchema } from '../../run/settings.ts';
import { type LedgerDraft, NUMBERED, type Numbered, PROOFS, type Proof } from '../../store/edition/entry.ts';
import { editionFacts, entryWords } from '../../store/edition/facts.ts';
import { type Action, type Call as ActionCall, runAction } from '../actions.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { openProgress } from '../progress.ts';
import { row, wrap } from '../render.ts';
import { faultLines } from '../render-notebook.ts';
import { now } from '../today.ts';
import type { CommandDef } from './contract.ts';

const ownFlags = settingsOf(editionSettings);
const runFlags = settingsOf(runSchema)
  .filter(({ key }) => ['out', 'format', 'overwrite'].includes(key))
  .map((setting) => ({
    ...setting,
    ...(setting.key === 'out' ? { description: 'folder for the files' } : {}),
  }));
const flags = [...ownFlags, ...runFlags];

type Settings = EditionSettings & Pick<RunSettings, 'out' | 'format' | 'overwrite'>;

type Call = ActionCall<Settings>;

const MANY = 200;
/** Where the words of an entry begin, behind its day and its id. */
const ENTRY_INDENT = 28;
const SIZES = ['edition', 'ap', 'pp', 'hc', 'lossPercent', 'pulls', 'extra'];
const FILES = ['out', 'overwrite'];

const usage = (code: string, message: string, hint: string): EtchError =>
  new EtchError('usage', code, message, hint);

function wholeNumber(text: string, what: string): number {
  if (/^\d{1,6}$/.test(text) && Number(text) > 0) return Number(text);
  throw usage(
    'not-a-count',
    `${what}: "${text}" is no number of sheets or impressions`,
    'Give a whole number from 1.',
  );
}

function oneOf<Kind extends string>(text: string, kinds: readonly Kind[], what: string): Kind {
  const found = kinds.find((kind) => kind.toLowerCase() === text.toLowerCase());
  if (found) return found;
  throw usage('unknown-kind', `There is no ${what} "${text}"`, `Say one of: ${kinds.join(', ')}.`);
}

function proofCalled(text: string): Proof {
  const mark = NUMBERED.find((one) => one.toLowerCase() === text.toLowerCase());
  if (mark === undefined) return oneOf<Proof>(text, PROOFS, 'proof');
  throw usage(
    'proof-with-number',
    `${mark} bear numbers`,
    `Enter them by these: \`edition number ${mark} 1\`.`,
  );
}

async function numbersOf(text: string): Promise<number[]> {
  const { numbersIn } = await import('../../run/edition.ts');
  const numbers = numbersIn(text);
  if (numbers) return numbers;
  throw usage('not-numbers', `"${text}" are no numbers`, 'Write them such as 1-12,15.');
}

const spoken = (words: readonly string[]) => (words.length > 0 ? { words: words.join(' ') } : {});

/** Good impressions that are wanted, marked or not. */
const goodWanted = ({ edition, ap, pp, hc, extra }: Settings): number =>
  (edition ?? 0) + ap + pp + hc + extra;

const planned = (settings: Settings): number =>
  startSheets(goodWanted(settings), settings.pulls, settings.lossPercent / 100);

function planText(settings: Settings): string {
  const { pulls, lossPercent } = settings;
  return `${planned(settings)} sheets to start with: ${goodWanted(settings)} good impressions wanted, ${pulls} ${pulls === 1 ? 'pull' : 'pulls'} each, ${lossPercent} % spoiled a pull`;
}

async function plan({ settings, talk }: Call): Promise<void> {
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

async function begin({ words, settings, talk }: Call): Promise<void> {
  const { beginLedger, ledgerFileFor } = await import('../../run/edition.ts');
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

/** Enters something and says what stands in the ledger now. */
async function enterAs({ settings, talk }: Call, draft: LedgerDraft): Promise<void> {
  const { enter, wantedLedger } = await import('../../run/edition.ts');
  const path = await wantedLedger(settings.ledger);
  const { entry, after } = await enter(path, draft, now());
  if (talk.json) {
    talk.result(JSON.stringify({ entry, edition: editionFacts(after) }, null, 2));
    return;
  }
  talk.result(`${entry.id}  ${entryWords(entry)}`);
  const facts = editionFacts(after)!;
  talk.say(`${facts.inHand} of ${facts.sheets} sheets not accounted for`);
}

async function plateFacts(report: string | undefined) {
  if (report === undefined)
    throw usage('no-report', 'It is not said which plate that is', 'Name its report with --report.');
  const { plateOfReport } = await import('../../run/edition-plate.ts');
  return plateOfReport(report);
}

async function show(call: Call): Promise<void> {
  const { settings, talk } = call;
  const { openLedger, wantedLedger } = await import('../../run/edition.ts');
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
        `${talk.paint.bold(facts.title)}, ${facts.artist} ${facts.year}, ${facts.closedOn ? `closed on ${facts.closedOn}` : 'open'}`,
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
          `  ${on}  ${id}  ${wrap(`${what}${why ? ` (counts for nothing: ${why})` : ''}`, ENTRY_INDENT)}`,
      ),
    ].join('\n'),
  );
}

const writeSheet =
  (kind: 'edition' | 'disclosure') =>
  async ({ settings, talk }: Call): Promise<void> => {
    const { openLedger, wantedLedger, writePage } = await import('../../run/edition.ts');
    const { editionPages } = await import('../../report/edition-sheet.ts');
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

async function deface({ words, settings, talk, signal }: Call): Promise<void> {
  const { openLedger, stemOf, wantedLedger } = await import('../../run/edition.ts');
  const { writeDefacing } = await import('../../run/deface.ts');
  const { openSession } = await import('../../run/session.ts');
  const { resolveMaking } = await import('../../job/making.ts');
  const { resolveJob } = await import('../../job/layers.ts');
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

const actions: Readonly<Record<string, Action<Settings>>> = {
  plan: { usage: '', words: [0, 0], takes: SIZES, run: plan },
  begin: {
    usage: '<title>',
    words: [1, MANY],
    takes: [
      ...SIZES,
      'sheets',
      'artist',
      'year',
      'medium',
      'paper',
      'printedAt',
      'otherEditions',
      'posthumous',
    ],
    run: begin,
  },
  plate: {
    usage: '<plate>',
    words: [1, 1],
    takes: ['report', 'duplicateOf'],
    async run(call) {
      const { report, duplicateOf } = call.settings;
      const facts = await plateFacts(report);
      const twin = duplicateOf === undefined ? {} : { duplicateOf };
      await enterAs(call, { kind: 'plate', plate: call.words[0]!, ...facts, ...twin });
    },
  },
  state: {
    usage: '<plate> <words...>',
    words: [2, MANY],
    takes: ['report'],
    async run(call) {
      const [plate, ...words] = call.words;
      const { report } = call.settings;
      const bits = report === undefined ? {} : { bitsSha256: (await plateFacts(report)).bitsSha256 };
      await enterAs(call, { kind: 'state', plate: plate!, words: words.join(' '), ...bits });
    },
  },
  sheets: {
    usage: '<count> [words...]',
    words: [1, MANY],
    takes: [],
    run: (call) =>
      enterAs(call, {
        kind: 'sheets',
        count: wholeNumber(call.words[0]!, 'sheets'),
        ...spoken(call.words.slice(1)),
      }),
  },
  pull: {
    usage: '<plate> <count> [words...]',
    words: [2, MANY],
    takes: ['spoiled'],
    run: (call) =>
      enterAs(call, {
        kind: 'pull',
        plate: call.words[0]!,
        count: wholeNumber(call.words[1]!, 'pull'),
        spoiled: call.settings.spoiled,
        ...spoken(call.words.slice(2)),
      }),
  },
  proof: {
    usage: `<${PROOFS.join('|')}> [words...]`,
    words: [1, MANY],
    takes: ['count', 'by'],
    run: (call) =>
      enterAs(call, {
        kind: 'proof',
        as: proofCalled(call.words[0]!),
        count: call.settings.count,
        ...(call.settings.by === undefined ? {} : { by: call.settings.by }),
        ...spoken(call.words.slice(1)),
      }),
  },
  number: {
    usage: `<${NUMBERED.join('|')}> <numbers>`,
    words: [2, 2],
    takes: ['from'],
    async run(call) {
      const as = oneOf<Numbered>(call.words[0]!, NUMBERED, 'mark');
      await enterAs(call, {
        kind: 'number',
        as,
        numbers: await numbersOf(call.words[1]!),
        from: [...call.settings.from],
      });
    },
  },
  spoil: {
    usage: `<count> [words...], or <${NUMBERED.join('|')}> <numbers> [words...]`,
    words: [1, MANY],
    takes: [],
    async run(call) {
      const [first, second, ...rest] = call.words;
      if (/^\d+$/.test(first!)) {
        const count = wholeNumber(first!, 'spoil');
        return enterAs(call, { kind: 'spoil', count, ...spoken(call.words.slice(1)) });
      }
      const as = oneOf<Numbered>(first!, NUMBERED, 'mark');
      const numbers = await numbersOf(second ?? '');
      return enterAs(call, { kind: 'spoil', count: numbers.length, as, numbers, ...spoken(rest) });
    },
  },
  correct: {
    usage: '<id> <reason...>',
    words: [2, MANY],
    takes: [],
    run: (call) =>
      enterAs(call, { kind: 'correct', about: call.words[0]!, words: call.words.slice(1).join(' ') }),
  },
  close: {
    usage: '[words...]',
    words: [0, MANY],
    takes: [],
    run: (call) => enterAs(call, { kind: 'close', ...spoken(call.words) }),
  },
  deface: { usage: '<plate>', words: [1, 1], takes: [...FILES, 'format'], run: deface },
  cancel: {
    usage: '<plate> <how...>',
    words: [2, MANY],
    takes: [],
    run: (call) =>
      enterAs(call, { kind: 'cancel', plate: call.words[0]!, words: call.words.slice(1).join(' ') }),
  },
  show: { usage: '', words: [0, 0], takes: [], run: show },
  sheet: { usage: '', words: [0, 0], takes: FILES, run: writeSheet('edition') },
  disclose: { usage: '', words: [0, 0], takes: FILES, run: writeSheet('disclosure') },
};

export const edition: CommandDef = {
  name: 'edition',
  usage: '<action> [words...]',
  firstWords: Object.keys(actions),
  summary: `the ledger of a print: ${Object.keys(actions).join(', ')}`,
  examples: [
    'etchwright edition begin "Night Ferry" --artist "A. Quay" --edition 24 --ap 3',
    'etchwright edition number edition 1-12 --from key',
  ],
  configure: (command) => addFlags(command, flags),
  async run(words, command, talk, signal) {
    await runAction({ command: 'edition', actions, flags, shared: ['ledger'] }, words, command, talk, signal);
    return EXIT.done;
  },
};
