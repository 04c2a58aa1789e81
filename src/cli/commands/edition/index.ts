import { NUMBERED, type Numbered, PROOFS } from '../../../store/edition/entry.ts';
import { type Action, runAction } from '../../actions.ts';
import { EXIT } from '../../exit-codes.ts';
import { addFlags } from '../../flags.ts';
import type { CommandDef } from '../contract.ts';
import { begin, plan } from './begin.ts';
import { enterAs, plateFacts } from './enter.ts';
import { deface, writeSheet } from './files.ts';
import { flags, type Settings } from './settings.ts';
import { show } from './show.ts';
import { numbersOf, oneOf, proofCalled, spoken, wholeNumber } from './words.ts';

const MANY = 200;
const SIZES = ['edition', 'ap', 'pp', 'hc', 'lossPercent', 'pulls', 'extra'];
const FILES = ['out', 'overwrite'];

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
      // one that is named twice is destroyed once
      const numbers = [...new Set(await numbersOf(second ?? ''))];
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
