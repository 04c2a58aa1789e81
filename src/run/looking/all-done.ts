/**
 * Waits until all are settled, so that nothing still writes to what an error makes everybody give up; then the results,
 * or the first error.
 */
export async function allDone<T extends readonly unknown[]>(
  promises: readonly [...T],
): Promise<{ -readonly [K in keyof T]: Awaited<T[K]> }> {
  const settled = await Promise.allSettled(promises);
  for (const result of settled) if (result.status === 'rejected') throw result.reason;
  return settled.map((result) => (result as PromiseFulfilledResult<unknown>).value) as {
    -readonly [K in keyof T]: Awaited<T[K]>;
  };
}
