import * as z from 'zod';
import { defineToneScreen } from './contract.ts';

/** The tone itself, for a machine that varies its power from pixel to pixel. */
export const none = defineToneScreen({
  kind: 'none',
  summary: 'no screen: 8 bits a pixel, for a machine that varies its power with the tone',
  params: z.strictObject({}),
  compensates: 'no',
  packs: 'repeats',
  forLineArt: false,
  tones: () => 256,
});
