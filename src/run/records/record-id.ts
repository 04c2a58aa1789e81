import { randomBytes } from 'node:crypto';

const BYTES = 6;

/** An id for an entry of a record: begins with a letter, so that it is never taken for a number of one. */
export const newId = (): string => `e${randomBytes(BYTES).toString('hex').slice(1)}`;
