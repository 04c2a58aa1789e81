import { createHash } from 'node:crypto';

/** SHA-256, lower-case hexadecimal, of a job's settings as JSON with its keys in order of the alphabet. */
export function jobSha256(job: Readonly<Record<string, unknown>>): string {
  const sorted = Object.fromEntries(Object.entries(job).sort(([a], [b]) => (a < b ? -1 : 1)));
  return createHash('sha256').update(JSON.stringify(sorted)).digest('hex');
}
