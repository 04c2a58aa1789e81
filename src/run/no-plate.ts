/** The plate of a task that has none. */
export const NO_PLATE = null;
