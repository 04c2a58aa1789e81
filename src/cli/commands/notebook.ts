import { EtchError } from '../../core/errors.ts';
import { settingsOf } from '../../job/settings.ts';
import { findSettings, type NotebookSettings, seenSettings } from '../../run/records/notebook-settings.ts';
import { runSchema } from '../../run/settings.ts';
import type { Page } from '../../store/notebook/pages.ts';
import type { Fault } from '../../store/read-line.ts';
import { type Action, type Call as ActionCall, runAction } from '../actions.ts';
import { EXIT } from '../exit-codes.ts';
import { addFlags } from '../flags.ts';
import { thisRun } from '../owner.ts';
import { comparisonText, faultLines, pageText } from '../render/notebook.ts';
import { type ListItem, listItem, openListTable } from '../render/notebook-table.ts';
import { now } from '../today.ts';
import type { CommandDef } from './contract.ts';

const fileFlag = settingsOf(runSchema)
  .filter(({ key }) => key === 'notebook')
  .map((setting) => ({
    ...setting,
    description: 'the notebook; etchwright.notebook.jsonl of this folder unless given',
  }));
const seenFlags = settingsOf(seenSettings);
const findFlags = settingsOf(findSettings);
const flags = [...fileFlag, ...seenFlags, ...findFlags];

type Settings = NotebookSettings & { readonly notebook?: string };

type Call = ActionCall<Settings>;

const wanted = async ({ settings }: Call): Promise<string> =>
  (await import('../../run/records/notebook.ts')).wantedNotebook(settings.notebook);

const seenKeys = seenFlags.map(({ key }) => key);

const actions: Readonly<Record<string, Action<Settings>>> = {
  init: {
    usage: '',
    words: [0, 0],
    takes: [],
    async run({ settings, talk }) {
      const { initNotebook, NOTEBOOK_FILE } = await import('../../run/records/notebook.ts');
      const path = settings.notebook ?? NOTEBOOK_FILE;
      await initNotebook(path, thisRun());
      talk.result(talk.json ? JSON.stringify({ written: [path] }) : path);
      talk.say(
        'Every run in this folder that makes something now leaves an entry in it. See `etchwright notebook list`.',
      );
    },
  },
  list: { usage: '', words: [0, 0], takes: ['last', 'all'], run: list },
  show: {
    usage: '<entry...>',
    words: [1, 1000],
    takes: [],
    async run(call) {
      const { pagesCalled } = await import('../../run/records/notebook.ts');
      const pages = await pagesCalled(await wanted(call), call.words);
      call.talk.result(
        call.talk.json
          ? JSON.stringify(pages, null, 2)
          : pages.map((page) => pageText(page, call.talk)).join('\n\n'),
      );
    },
  },
  compare: {
    usage: '<entry> <entry>',
    words: [2, 2],
    takes: [],
    async run(call) {
      const { pagesCalled } = await import('../../run/records/notebook.ts');
      const { compareEntries } = await import('../../store/notebook/changes.ts');
      const [a, b] = await pagesCalled(await wanted(call), call.words);
      const comparison = compareEntries(a!.entry, b!.entry);
      call.talk.result(
        call.talk.json
          ? JSON.stringify({ from: a!.entry.id, to: b!.entry.id, ...comparison }, null, 2)
          : comparisonText(a!, b!, comparison),
      );
    },
  },
  note: { usage: '<entry> [words...]', words: [1, 1000], takes: seenKeys, run: addNote },
  find: {
    usage: '[words...]',
    words: [0, 1000],
    takes: ['kind', 'verdict', 'process', 'screen', 'material'],
    run: find,
  },
  export: { usage: '', words: [0, 0], takes: [], run: exportTable },
};

/** Runs, newest last: all that fit what was asked. */
async function find(call: Call): Promise<void> {
  const { settings, talk } = call;
  const { askedWords, fits } = await import('../../store/notebook/find.ts');
  const looksFor = { ...settings, words: askedWords(call.words) };
  let found = 0;
  await eachPage(call, (page) => {
    if (!fits(page, looksFor)) return;
    if (!talk.json && found > 0) talk.result('');
    talk.result(talk.json ? jsonItem(page, found) : pageText(page, talk));
    found++;
  });
  if (talk.json) talk.result(jsonEnd(found));
  else if (found === 0) talk.say('Nothing in the notebook is like that');
}

// one JSON value, but written as it is read: long notebooks are never held whole
const jsonItem = (item: Page | ListItem, before: number): string =>
  `${before === 0 ? '[' : ','}${JSON.stringify(item)}`;
const jsonEnd = (count: number): string => (count === 0 ? '[]' : ']');

/** A table of the last few runs, or of all, written as it is read. */
async function list(call: Call): Promise<void> {
  const { settings, talk } = call;
  const table = openListTable(talk.result);
  let shown = 0;
  const show = (item: ListItem): void => {
    if (talk.json) talk.result(jsonItem(item, shown));
    else table.add(item);
    shown++;
  };
  const newest: ListItem[] = [];
  let older = 0;
  await eachPage(call, (page) => {
    if (settings.all) return show(listItem(page));
    newest.push(listItem(page));
    if (newest.length <= settings.last) return;
    newest.shift();
    older++;
  });
  newest.forEach(show);
  table.end();
  if (talk.json) talk.result(jsonEnd(shown));
  else if (shown === 0) talk.say('The notebook is empty as yet');
  if (older > 0) talk.say(`${older} older ones are not shown: --all shows every one`);
}

async function exportTable(call: Call): Promise<void> {
  const { talk } = call;
  const { csvHead, csvLine } = await import('../../store/notebook/csv.ts');
  let count = 0;
  if (!talk.json) talk.result(csvHead());
  await eachPage(call, (page) => {
    talk.result(talk.json ? jsonItem(page, count) : csvLine(page));
    count++;
  });
  if (talk.json) talk.result(jsonEnd(count));
}

/** Reads the whole notebook, then tells which of its lines could not be read. */
async function eachPage(call: Call, use: (page: Page) => void): Promise<void> {
  const path = await wanted(call);
  const { pagesOf } = await import('../../run/records/notebook.ts');
  const faults: Fault[] = [];
  for await (const page of pagesOf(path, (fault) => faults.push(fault))) use(page);
  faultLines(path, faults).forEach(call.talk.say);
}

async function addNote(call: Call): Promise<void> {
  const { settings, talk } = call;
  const [entry, ...words] = call.words;
  const path = await wanted(call);
  const { openNotebook, pagesCalled } = await import('../../run/records/notebook.ts');
  const [page] = await pagesCalled(path, [entry!]);
  const given = Object.fromEntries(
    seenKeys.flatMap((key) => {
      const value = settings[key as keyof Settings];
      return value === undefined ? [] : [[key, value]];
    }),
  );
  const seen = words.length > 0 ? { ...given, words: words.join(' ') } : given;
  if (Object.keys(seen).length === 0)
    throw new EtchError(
      'usage',
      'nothing-noted',
      `Nothing is said about entry ${entry}`,
      `Write it behind, such as \`etchwright notebook note ${entry} "the rigging broke" --verdict partly\`.`,
    );
  const notebook = await openNotebook(path, now);
  try {
    const added = await notebook.add({ kind: 'note', about: page!.entry.id, seen });
    talk.result(talk.json ? JSON.stringify(added, null, 2) : `noted of ${page!.number} ${page!.entry.name}`);
  } finally {
    await notebook.close();
  }
}

export const notebook: CommandDef = {
  name: 'notebook',
  usage: '<action> [words...]',
  summary: `what was done, what changed between two tries, what was seen at the press: ${Object.keys(actions).join(', ')}`,
  firstWords: Object.keys(actions),
  examples: [
    'etchwright notebook note 12 "the rigging broke" --verdict partly --pull 3',
    'etchwright notebook find cherry 45 lpi --verdict held',
  ],
  configure: (command) => addFlags(command, flags),
  async run(words, command, talk, signal) {
    await runAction(
      { command: 'notebook', actions, flags, shared: ['notebook'] },
      words,
      command,
      talk,
      signal,
    );
    return EXIT.done;
  },
};
