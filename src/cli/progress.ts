import type { Progress } from '../run/plate/bands.ts';
import type { Talk } from './talk.ts';

/** Work shorter than this says nothing. */
const SILENT_MS = 800;
const EVERY_MS = 100;

/** A single line on a terminal's standard error while the work is long; nothing in pipes. */
export function openProgress(talk: Talk): { readonly step: Progress; clear(): void } {
  const started = performance.now();
  let last = 0;
  let shown = false;
  return {
    step(phase, done, total) {
      const now = performance.now();
      if (!talk.interactive || now - started < SILENT_MS || now - last < EVERY_MS) return;
      last = now;
      shown = true;
      process.stderr.write(`\r\u001b[K${phase} ${Math.round((100 * done) / Math.max(1, total))} %`);
    },
    clear() {
      if (shown) process.stderr.write('\r\u001b[K');
      shown = false;
    },
  };
}
