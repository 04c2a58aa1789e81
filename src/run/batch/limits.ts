/** A list of a thousand plates has a tenth of a megabyte. */
export const MOST_LIST_BYTES = 32e6;
