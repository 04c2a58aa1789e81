import { versions } from 'node:process';
import { setFlagsFromString } from 'node:v8';

/** The engine of Node 20. Later ones (12.4 of Node 22 to 14.6 of Node 26 were looked at) have no such budget, and complain of it. */
const KNOWN_V8 = 11;

/**
 * Tells the engine that many plates are to come. Each plate opens its functions anew, and the engine then takes them for new and
 * compiles them again, on threads of its own, which the plates want: 0.4 s of processor time for a plate of 2.1 million
 * pixels that takes 0.45 s itself. Remembering from the first call on, and compiling later, leaves 0.2 s (16 plates, two
 * lanes, Node 20: 16.3 s in all before, 11.4 to 12.2 after).
 */
export function expectManyPlates(): void {
  if (Number.parseInt(versions.v8, 10) !== KNOWN_V8) return;
  setFlagsFromString('--no-lazy-feedback-allocation');
  setFlagsFromString('--interrupt-budget=700000');
}
