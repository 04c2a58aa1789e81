import { type FileHandle, lstat, open, rm } from 'node:fs/promises';
import { dirname } from 'node:path';
import { whileLocked } from './folder-lock.ts';
import { removeMadeFolders, syncFolder } from './folders.ts';
import { outputError, refusal, systemCode } from './output-errors.ts';
import { newTag, type Owner, oldName, partName } from './owner.ts';
import { type Placed, placeNew, placeOver, undoPlace } from './place.ts';
import { keyOf } from './same-file.ts';
import { beside, exists, findTarget, type Target, type TargetRules, twice } from './target.ts';

export interface FileSetRules extends TargetRules {
  readonly owner: Owner;
}

/** One file of a set, still under a temporary name beside its target. */
export interface Slot {
  /** Where the bytes lie until the set is committed, for reading back. */
  readonly tempPath: string;
  /** Open for reading and writing until the set is committed or abandoned. */
  readonly fd: number;
  /** Appends pieces in order. Wait for one call before the next. */
  readonly write: (pieces: readonly Uint8Array[]) => Promise<void>;
  /** Writes at a byte of the file, its first unless given; what is appended next still follows what was appended before. */
  readonly writeOver: (bytes: Uint8Array, at?: number) => Promise<void>;
  /** Takes the file out of its set, for one that turns out not to be wanted. May be called again. */
  readonly discard: () => Promise<void>;
}

/** Files that appear together or not at all. Ends with `commit` or `abandon`. */
export interface FileSet {
  /** Checks at once whether `path` may be written, and opens a temporary beside it; its own `overwrite` goes before the set's. */
  readonly add: (path: string, rules?: Partial<Pick<TargetRules, 'overwrite'>>) => Promise<Slot>;
  /** Puts all files in place in the order they were added; if one fails, everything is as it was before. */
  readonly commit: () => Promise<void>;
  /** Drops everything not committed, and folders made for it. May be called again, or after `commit`; never throws. */
  readonly abandon: () => Promise<void>;
}

interface OpenSlot {
  readonly path: string;
  readonly target: Target;
  readonly tag: string;
  readonly temp: string;
  readonly overwrite: boolean;
  readonly handle: FileHandle;
}

/**
 * Opens a set of files to be written safely: nothing is seen under its own name before all are whole and on the
 * disk, no input and (unless `overwrite`) no other file is ever replaced. What a killed run leaves: see place.ts;
 * `sweepStale` clears it. All refusals are errors of kind 'output'.
 */
export function openFileSet({ owner, ...rules }: FileSetRules): FileSet {
  const slots: OpenSlot[] = [];
  const foldersMade: string[] = [];
  let isOpen = true;

  // One thing at a time: two adds cannot race for a name, and abandoning waits for a commit under way.
  let last: Promise<unknown> = Promise.resolve();
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const turn = last.then(work);
    last = turn.catch(() => undefined);
    return turn;
  };

  const drop = async () => {
    isOpen = false;
    for (const { handle, temp } of slots) {
      await handle.close().catch(() => undefined);
      await rm(temp, { force: true }).catch(() => undefined);
    }
    await removeMadeFolders(foldersMade);
  };

  const add: FileSet['add'] = (path, own) =>
    inTurn(async () => {
      if (!isOpen) throw new Error('add after the end of a file set');
      return await telling(path, async () => {
        const { overwrite, protect } = { ...rules, ...own };
        const target = await findTarget(path, { overwrite, protect }, foldersMade);
        const other = await findTwin(target, slots);
        if (other) throw twice(path, other.path);
        const tag = newTag(owner);
        const temp = beside(target, partName(target.name, tag));
        const handle = await open(temp, 'wx+', 0o666);
        const slot = { path, target, tag, temp, overwrite, handle };
        slots.push(slot);
        const write = (pieces: readonly Uint8Array[]) => telling(path, () => writeAll(handle, pieces));
        const writeOver = (bytes: Uint8Array, at = 0) => telling(path, () => writeAt(handle, bytes, at));
        const discard = () =>
          inTurn(async () => {
            const at = slots.indexOf(slot);
            if (at < 0) return;
            slots.splice(at, 1);
            await handle.close();
            await telling(path, () => rm(temp, { force: true }));
          });
        return { tempPath: temp, fd: handle.fd, write, writeOver, discard };
      });
    });

  /** Puts files in place while no other run does so there; what fails is taken back before another's turn. */
  const locked = async (work: () => Promise<void>, placed: readonly Placed[]) => {
    const folders = new Set(slots.map((slot) => slot.target.folder));
    const [first] = slots;
    if (!first) return await work();
    await telling(first.path, () =>
      whileLocked(folders, owner, async () => {
        try {
          await work();
        } catch (cause) {
          throw (await undoAll(placed)) ?? cause;
        }
      }),
    );
  };

  const commit = () =>
    inTurn(async () => {
      if (!isOpen) throw new Error('commit after the end of a file set');
      isOpen = false;
      const placed: Placed[] = [];
      try {
        const keys: string[] = [];
        for (const slot of slots) keys.push(await telling(slot.path, () => finish(slot.handle)));
        await locked(async () => {
          for (const [index, slot] of slots.entries()) {
            placed.push(await telling(slot.path, () => place(slot, keys[index]!)));
          }
          const folders = [...slots.map((slot) => slot.target.folder), ...foldersMade.map(dirname)];
          for (const folder of new Set(folders)) await telling(folder, () => syncFolder(folder));
        }, placed);
      } catch (cause) {
        await drop();
        throw cause;
      }
      // All is in place: what cannot be tidied now is left to the next sweep.
      for (const { aside } of placed) if (aside !== undefined) await rm(aside).catch(() => undefined);
    });

  return { add, commit, abandon: () => inTurn(async () => (isOpen ? await drop() : undefined)) };
}

async function telling<T>(path: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (cause) {
    throw outputError(path, cause);
  }
}

/** The slot that already writes to this target, if any. */
async function findTwin(target: Target, slots: readonly OpenSlot[]): Promise<OpenSlot | undefined> {
  for (const slot of slots) {
    if (slot.target.key === target.key) return slot;
    // Neither file exists, and the names differ: whether "a.png" and "A.png" are one, only the disk can tell.
    // If the other slot's temporary answers to this name too, they are.
    if (slot.target.folder !== target.folder || slot.target.name === target.name) continue;
    if (await lstat(beside(target, partName(target.name, slot.tag))).catch(() => undefined)) return slot;
  }
  return undefined;
}

// POSIX promises 16 pieces a call, Linux and macOS take 1,024 (IOV_MAX).
const PIECES_PER_CALL = 512;

async function writeAll(handle: FileHandle, pieces: readonly Uint8Array[]): Promise<void> {
  const rest = pieces.filter((piece) => piece.byteLength > 0);
  for (let next = 0; next < rest.length; ) {
    let { bytesWritten } = await handle.writev(rest.slice(next, next + PIECES_PER_CALL));
    if (bytesWritten === 0) throw new Error('the system took no bytes');
    // A nearly full disk takes a part; the following call then says why.
    while (next < rest.length && bytesWritten >= rest[next]!.byteLength)
      bytesWritten -= rest[next++]!.byteLength;
    if (bytesWritten > 0) rest[next] = rest[next]!.subarray(bytesWritten);
  }
}

async function writeAt(handle: FileHandle, bytes: Uint8Array, at: number): Promise<void> {
  for (let done = 0; done < bytes.length; ) {
    const { bytesWritten } = await handle.write(bytes, done, bytes.length - done, at + done);
    if (bytesWritten === 0) throw new Error('the system took no bytes');
    done += bytesWritten;
  }
}

/** Makes the bytes last on the disk, closes the file (Windows renames no open file) and says which file it is. */
async function finish(handle: FileHandle): Promise<string> {
  await handle.sync();
  const key = keyOf(await handle.stat({ bigint: true }));
  await handle.close();
  return key;
}

async function place({ path, target, tag, temp, overwrite }: OpenSlot, key: string): Promise<Placed> {
  const place = beside(target, target.name);
  const aside = beside(target, oldName(target.name, tag));
  try {
    if (overwrite && (await placeOver(temp, place, aside)).replaced) return { target: place, key, aside };
    if (!overwrite) await placeNew(temp, place);
    return { target: place, key, aside: undefined };
  } catch (cause) {
    if (systemCode(cause) === 'EEXIST')
      throw exists(path, 'a file of that name has appeared meanwhile', cause);
    throw cause;
  }
}

/** Takes back in reverse order; an error that says where the old file lies if one would not go back. */
async function undoAll(placed: readonly Placed[]): Promise<Error | undefined> {
  let stuck: Error | undefined;
  for (const one of placed.toReversed()) {
    try {
      await undoPlace(one);
    } catch (cause) {
      const reason = one.aside
        ? `a later file failed, and the old file could not be put back; it lies in "${one.aside}"`
        : 'a later file failed, and this new one could not be taken away again';
      stuck = refusal(
        'output-failed',
        one.target,
        reason,
        'Put it right by hand before the next run.',
        cause,
      );
    }
  }
  return stuck;
}
