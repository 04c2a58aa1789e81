/** The command lines of the demo's sets, without where they go. */
export const SETS: readonly (readonly string[])[];
