/** What centred tones are below tones: rows inside the filter run −32768 … 32767, so that sums fit 32 bits. */
export const TONE_CENTRE = 32768;

/** The two passes of a separable filter over rows of centred tones, with the filtered rows that they keep. */
export interface Passes {
  /** Where a source row is laid before it goes across, from `at` on; what lies around it is for its edge pixels. */
  readonly padded: Int16Array;
  readonly at: number;
  /** Filters what lies in `padded` into a slot, 0 … taps of the axis down − 1. */
  across(slot: number): void;
  /** Filters the slots that are given, one for each tap, into the tones of an output row. */
  down(row: number, slots: Int32Array, tone: Uint16Array): void;
}
