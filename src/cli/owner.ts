import { readlinkSync } from 'node:fs';
import { hostname } from 'node:os';
import type { Owner } from '../run/session.ts';

/** In a container the same process number means another process: its namespace is part of the name. */
function processNamespace(): string {
  try {
    return readlinkSync('/proc/self/ns/pid');
  } catch {
    return '';
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}

/** This run, as the owner of its files in the making. */
export const thisRun = (): Owner => ({
  hostId: `${hostname()} ${processNamespace()}`,
  pid: process.pid,
  isAlive,
});
