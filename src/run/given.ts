/** Those of some settings that are given; what comes may hold more than these. */
export const givenOf = (from: object, keys: readonly string[]): Record<string, unknown> =>
  Object.fromEntries(
    keys.flatMap((key) => {
      const value = (from as Record<string, unknown>)[key] ?? null;
      return value === null ? [] : [[key, value]];
    }),
  );
