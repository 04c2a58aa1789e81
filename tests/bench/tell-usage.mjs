/** Loaded before the program to be measured (--import): at its end, tells what the process took as a last line of JSON. */
import { writeSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';

// threads load it too, and the process' usage holds theirs
if (isMainThread)
  process.on('exit', () => {
    const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
    const took = { userS: userCPUTime / 1e6, systemS: systemCPUTime / 1e6, peakKiB: maxRSS };
    writeSync(
      2,
      `${JSON.stringify(took)}
`,
    );
  });
