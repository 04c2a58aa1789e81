import { createHash } from 'node:crypto';

const sha256Of = (text: string): string => createHash('sha256').update(text).digest('hex');

const byKey = (value: object): object =>
  Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));

const deepByKey = (_key: string, value: unknown): unknown =>
  value !== null && typeof value === 'object' && !Array.isArray(value) ? byKey(value) : value;

/** SHA-256, lower-case hexadecimal, of a job's settings as JSON with its keys in order of the alphabet. */
export const jobSha256 = (job: Readonly<Record<string, unknown>>): string =>
  sha256Of(JSON.stringify(byKey(job)));

/** The same of any plain value, with the keys of all that is inside it in order too. */
export const plainSha256 = (value: unknown): string => sha256Of(JSON.stringify(value, deepByKey));
