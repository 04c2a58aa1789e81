import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';
import { EtchError } from '../../src/core/errors.ts';
import type { Owner } from '../../src/io/owner.ts';

export const owner: Owner = { hostId: 'bench', pid: process.pid, isAlive: (pid) => pid === process.pid };
/** A later run on the same host, for which every earlier one is dead. */
export const laterRun: Owner = { hostId: 'bench', pid: 4_000_001, isAlive: () => false };

export const bytes = (text: string) => [new TextEncoder().encode(text)];

/** A fresh folder for each test of a file. */
export function freshFolder(): { readonly path: string } {
  const folder = { path: '' };
  beforeEach(() => {
    folder.path = mkdtempSync(join(tmpdir(), 'file-set-test-'));
  });
  afterEach(() => rmSync(folder.path, { recursive: true, force: true }));
  return folder;
}

/** Names and contents of all files in a folder: equal before and after means nothing has changed. */
export function contentsOf(folder: string): Record<string, string> {
  const files = readdirSync(folder, { withFileTypes: true, recursive: true }).filter((entry) =>
    entry.isFile(),
  );
  const paths = files.map((entry) => join(entry.parentPath, entry.name)).sort();
  return Object.fromEntries(
    paths.map((path) => [path.slice(folder.length + 1), readFileSync(path, 'latin1')]),
  );
}

/** The error people would read; fails if there is none or if it is of another kind. */
export async function faultOf(work: Promise<unknown>): Promise<EtchError> {
  const outcome = await work.then(
    () => 'no error',
    (cause: unknown) => cause,
  );
  if (outcome instanceof EtchError && outcome.kind === 'output') return outcome;
  throw new Error(`expected an error of kind output, got ${String(outcome)}`);
}
