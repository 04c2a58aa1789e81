import { createHash, randomBytes } from 'node:crypto';

/** The run that files in the making belong to. The command line knows these; io does not look them up. */
export interface Owner {
  /**
   * Names the set of processes in which `pid` means something: the computer's name, and in containers the
   * process namespace too. Runs that cannot see each other must differ here, or one sweeps up after the living.
   */
  readonly hostId: string;
  readonly pid: number;
  /** Whether a process of this number runs on this host; "exists but is not ours" counts as alive. */
  readonly isAlive: (pid: number) => boolean;
}

/** What a name in the making says about the run that made it. */
export interface Mark {
  readonly host: string;
  readonly pid: number;
}

const WEEK_MS = 7 * 24 * 3600 * 1000;

const hostHash = (hostId: string) => createHash('sha256').update(hostId).digest('hex').slice(0, 8);

/** Start of the names of an owner's scratch folders; a random ending follows. */
export function scratchPrefix(owner: Owner): string {
  return `etchwright-${hostHash(owner.hostId)}-${owner.pid}-`;
}

/** A new tag for one file in the making: whose it is, and a random part so that no two are alike. */
export function newTag(owner: Owner): string {
  return scratchPrefix(owner) + randomBytes(4).toString('hex');
}

/** Name beside the target under which a file is written. */
export const partName = (name: string, tag: string) => `.${name}.${tag}.part`;
/** Name beside the target under which an old file waits until the whole set is in place. */
export const oldName = (name: string, tag: string) => `.${name}.${tag}.old`;

const FILE = /^\.(.+)\.etchwright-([0-9a-f]{8})-([0-9]{1,10})-[0-9a-f]{8}\.(part|old)$/s;
const SCRATCH = /^etchwright-([0-9a-f]{8})-([0-9]{1,10})-[0-9A-Za-z]{6}$/;

/** Reads a name made by `partName` or `oldName`; undefined for any other. */
export function readFileName(name: string): (Mark & { target: string; kind: 'part' | 'old' }) | undefined {
  const found = FILE.exec(name);
  if (!found) return undefined;
  const [, target, host, pid, kind] = found;
  return { target: target!, host: host!, pid: Number(pid), kind: kind === 'old' ? 'old' : 'part' };
}

const TAG = /^etchwright-([0-9a-f]{8})-([0-9]{1,10})-[0-9a-f]{8}$/;

/** Reads a tag made by `newTag`; undefined for anything else. */
export function readTag(tag: string): Mark | undefined {
  const found = TAG.exec(tag);
  return found ? { host: found[1]!, pid: Number(found[2]) } : undefined;
}

/** Reads the name of a scratch folder; undefined for any other. */
export function readScratchName(name: string): Mark | undefined {
  const found = SCRATCH.exec(name);
  return found ? { host: found[1]!, pid: Number(found[2]) } : undefined;
}

/**
 * Whether the run that left this is gone: a process of this host that lives no more, or anything untouched for
 * seven days, since other hosts cannot be asked and process numbers come round again.
 */
export function isLeftBehind(mark: Mark, touchedMs: number, owner: Owner, nowMs: number): boolean {
  if (nowMs - touchedMs > WEEK_MS) return true;
  return mark.host === hostHash(owner.hostId) && mark.pid !== owner.pid && !owner.isAlive(mark.pid);
}
