import type { BigIntStats } from 'node:fs';
import { stat } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import { systemCode } from './output-errors.ts';

/** Equal keys mean one and the same file, however its path was spelt. */
export interface FileIdentity {
  readonly key: string;
  /** Left out when no file is there yet. */
  readonly stats?: BigIntStats;
}

/** Identifies an existing file or folder: the disk and the file's number on it. */
export function keyOf(stats: BigIntStats): string {
  return `${stats.dev}:${stats.ino}`;
}

/**
 * Which file a path means. The system is asked, not the spelling, so links (symbolic and hard) and disks that
 * do not tell capitals from small letters come out right. A file not there yet is its folder and its name;
 * undefined when there is no such folder either.
 */
export async function identify(path: string): Promise<FileIdentity | undefined> {
  const stats = await statIfThere(path);
  if (stats) return { key: keyOf(stats), stats };
  const folder = await statIfThere(dirname(path));
  return folder && { key: `${keyOf(folder)}/${basename(path)}` };
}

/** What is at the end of a path, links followed; undefined when nothing is. */
export async function statIfThere(path: string): Promise<BigIntStats | undefined> {
  try {
    // Numbers of files on Windows and on network disks are 64 bit: doubles would make different files equal.
    return await stat(path, { bigint: true });
  } catch (cause) {
    if (['ENOENT', 'ENOTDIR'].includes(systemCode(cause))) return undefined;
    throw cause;
  }
}
