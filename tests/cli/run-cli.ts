/** The built command line, run as people run it: a process of its own. `npm test` builds it first. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, vi } from 'vitest';

const root = join(import.meta.dirname, '../..');
const bin = join(root, 'bin/etchwright.js');

export interface Place {
  /** The working folder of the runs. */
  readonly path: string;
  /** Their temporary folder, theirs alone, so that what is left behind shows. */
  readonly tmp: string;
}

/** Processes are slow to start on a busy machine; no test here waits for a time-out to pass. */
const PATIENCE_MS = 300_000;

/** A fresh folder for each test of a file. */
export function freshPlace(): Place {
  vi.setConfig({ testTimeout: PATIENCE_MS });
  const place = { path: '', tmp: '' };
  let top = '';
  beforeEach(() => {
    top = mkdtempSync(join(tmpdir(), 'whole-way-'));
    place.path = join(top, 'place');
    place.tmp = join(top, 'tmp');
    mkdirSync(place.path);
    mkdirSync(place.tmp);
  });
  afterEach(() => rmSync(top, { recursive: true, force: true }));
  return place;
}

export interface Run {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly outBytes: Buffer;
  readonly err: string;
}

export interface RunOptions {
  /** Variables to set beside the plain ones. */
  readonly env?: Readonly<Record<string, string>>;
  readonly input?: Uint8Array;
  readonly file?: string;
  /** User and group of the run, where this is another's; only root may say so. */
  readonly uid?: number | undefined;
}

/** Variables that change colours or node itself are not inherited: each case sets those it is about. */
const NOT_INHERITED = /^(NO_COLOR|FORCE_COLOR|TERM|COLORTERM|CI|NODE_.*|VITEST.*|CLICOLOR.*)$/;

function plainEnv(place: Place, env: RunOptions['env'] = {}): NodeJS.ProcessEnv {
  const inherited = Object.entries(process.env).filter(([name]) => !NOT_INHERITED.test(name));
  return { ...Object.fromEntries(inherited), TMPDIR: place.tmp, ...env };
}

/** Starts the command line without waiting for its end. */
export function startCli(place: Place, args: readonly string[], { env, uid }: RunOptions = {}): ChildProcess {
  const user = uid === undefined ? {} : { uid, gid: uid };
  return spawn(process.execPath, [bin, ...args], { cwd: place.path, env: plainEnv(place, env), ...user });
}

/** Ends with what the process printed and how it ended. */
export async function ended(child: ChildProcess): Promise<Run> {
  const out: Buffer[] = [];
  const err: Buffer[] = [];
  child.stdout?.on('data', (piece: Buffer) => out.push(piece));
  child.stderr?.on('data', (piece: Buffer) => err.push(piece));
  const [code, signal] = await new Promise<[number | null, NodeJS.Signals | null]>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (...how) => resolve(how));
  });
  const outBytes = Buffer.concat(out);
  return { code, signal, out: outBytes.toString(), outBytes, err: Buffer.concat(err).toString() };
}

/** Runs `etchwright …args` in the place. */
export function cli(place: Place, args: readonly string[], options: RunOptions = {}): Promise<Run> {
  const child = startCli(place, args, options);
  child.stdin?.on('error', () => undefined);
  child.stdin?.end(options.input ?? '');
  return ended(child);
}

/** Runs a shell command line in the place; `$ETCH` in it starts the command line. */
export function shell(place: Place, command: string, options: RunOptions = {}): Promise<Run> {
  const env = { ...plainEnv(place, options.env), NODE: process.execPath, BIN: bin };
  const line = `etch() { "$NODE" "$BIN" "$@"; }; ${command}`;
  return ended(spawn('sh', ['-c', line], { cwd: place.path, env, stdio: ['ignore', 'pipe', 'pipe'] }));
}

/** Names in a folder, also the hidden ones; none where there is no such folder. */
export function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).sort();
  } catch {
    return [];
  }
}

/** Waits until something is so; gives up loudly, and late enough for a slow machine. */
export async function until(what: () => boolean, said: string): Promise<void> {
  const giveUp = Date.now() + 20_000;
  while (!what()) {
    if (Date.now() > giveUp) throw new Error(`waited in vain: ${said}`);
    await wait(2);
  }
}
