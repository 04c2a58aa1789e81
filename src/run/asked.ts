import { createHash } from 'node:crypto';
import { lookingSchema } from '../job/proof-settings.ts';
import type { PrepareRequest } from './prepare.ts';

/**
 * SHA-256 of all that is asked of a plate beside its picture: everything that its files and its report may hang on, and
 * nothing of folders, threads or other plates. Values in another order are asked anew, since reports hold them in order.
 */
export function askedSha256(request: PrepareRequest): string {
  const { input, name, job, origins, making, curves, formats, stored } = request;
  // what comes as `looking` may be more than that: the settings of the whole run
  const looks = lookingSchema.keyof().options.map((key) => request.looking[key]);
  const asked = { input: input.name, name, job, origins, making, curves, formats, stored, looks };
  return createHash('sha256').update(JSON.stringify(asked)).digest('hex');
}
