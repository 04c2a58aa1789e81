import { Chalk, type ChalkInstance } from 'chalk';
import { lines } from './shown.ts';
import { printBytes, printText } from './streams.ts';

/** Where people and scripts are spoken to: results on standard output, talk on standard error. */
export interface Talk {
  readonly json: boolean;
  readonly quiet: boolean;
  /** Colours for talk; does nothing where colour is not wanted. */
  readonly paint: ChalkInstance;
  readonly interactive: boolean;
  /** A result, to standard output. */
  result(text: string): void;
  /** Bytes of a result, to standard output, as fast as they are read there; stops when nobody reads on. */
  stream(pieces: AsyncIterable<Uint8Array>): Promise<void>;
  /** Words for people, to standard error; nothing when quiet or in JSON. */
  say(text: string): void;
  /** Something that must be heard even when quiet. */
  alert(text: string): void;
}

export interface TalkOptions {
  readonly json?: boolean;
  readonly quiet?: boolean;
  readonly color?: boolean;
}

/** Colour only where a person looks and did not forbid it (no-color.org; TERM=dumb); never in JSON. */
function colourLevel(options: TalkOptions): 0 | 1 {
  const { NO_COLOR, FORCE_COLOR, TERM } = process.env;
  if (options.json || options.color === false) return 0;
  if (NO_COLOR !== undefined && NO_COLOR !== '') return 0;
  if (FORCE_COLOR !== undefined && FORCE_COLOR !== '' && FORCE_COLOR !== '0') return 1;
  return process.stderr.isTTY && TERM !== 'dumb' ? 1 : 0;
}

export function openTalk(options: TalkOptions): Talk {
  const json = options.json === true;
  const quiet = options.quiet === true;
  return {
    json,
    quiet,
    paint: new Chalk({ level: colourLevel(options) }),
    interactive: process.stderr.isTTY === true && !quiet && !json,
    // as it is into pipes and files; at a terminal a name must not give it orders
    result: (text) => printText(process.stdout.isTTY ? lines(text) : text),
    stream: printBytes,
    say: (text) => {
      if (!quiet && !json) process.stderr.write(`${lines(text)}\n`);
    },
    alert: (text) => void process.stderr.write(`${lines(text)}\n`),
  };
}
