import type { Command } from 'commander';
import type { Talk } from '../talk.ts';

/** One command: how it is spelt, and what it does. Heavy parts are imported when it runs, so that help is fast. */
export interface CommandDef {
  readonly name: string;
  /** Arguments as commander writes them; empty for none. */
  readonly usage: string;
  readonly summary: string;
  /** What the first argument must be one of, where the usage does not list it. */
  readonly firstWords?: readonly string[];
  /** Two examples for the help, whole command lines. */
  readonly examples: readonly [string, string];
  /** Adds the flags of this command. */
  configure(command: Command): void;
  /** Does it and gives the exit code. */
  run(args: readonly string[], command: Command, talk: Talk, signal: AbortSignal): Promise<number>;
}
