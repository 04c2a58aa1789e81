import { setFlagsFromString } from 'node:v8';

/**
 * Tells the engine that many plates are to come. Each plate opens its functions anew, and the engine then takes them for new and
 * compiles them again, on threads of its own, which the plates want: 0.4 s of processor time for a plate of 2.1 million
 * pixels that takes 0.45 s itself. Remembering from the first call on, and compiling later, leaves 0.15 s (16 plates, two
 * lanes, Node 20: 16.3 s in all before, 11.4 to 12.2 after). Flags that another engine does not know are passed over.
 */
export function expectManyPlates(): void {
  setFlagsFromString('--no-lazy-feedback-allocation');
  setFlagsFromString('--interrupt-budget=700000');
}
