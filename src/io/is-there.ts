import { access } from 'node:fs/promises';

/** Whether there is something of that name that may be looked at. */
export const isThere = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );
