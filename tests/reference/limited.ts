/** Runs the command line and tells what it and all that it started took; asked from outside, so nothing can be hidden. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';

const bin = join(import.meta.dirname, '../../bin/etchwright.js');

// CPython: ru_maxrss of RUSAGE_CHILDREN is the largest of all descendants that were waited for, in KiB (getrusage(2))
const WATCH = `
import json, resource, subprocess, sys
run = subprocess.run(sys.argv[2:], stdin=subprocess.DEVNULL, capture_output=True, timeout=120, cwd=sys.argv[1])
took = resource.getrusage(resource.RUSAGE_CHILDREN)
words = lambda b: b.decode("utf8", "replace")
print(json.dumps(dict(code=run.returncode, out=words(run.stdout[-5000:]), err=words(run.stderr[-20000:]), errBytes=len(run.stderr),
  processorS=took.ru_utime + took.ru_stime, peakMB=took.ru_maxrss * 1024 / 1e6)))
`;

export interface Watched {
  readonly code: number;
  readonly out: string;
  readonly err: string;
  readonly errBytes: number;
  readonly processorS: number;
  readonly peakMB: number;
}

export function watched(folder: string, tmp: string, args: readonly string[]): Watched {
  const words = ['-c', WATCH, folder, process.execPath, bin, ...args];
  const env = { PATH: process.env['PATH'], HOME: tmp, TMPDIR: tmp };
  const { stdout, stderr } = spawnSync('python3', words, { encoding: 'utf8', env, maxBuffer: 1 << 26 });
  if (stdout === '') throw new Error(stderr);
  return JSON.parse(stdout);
}
