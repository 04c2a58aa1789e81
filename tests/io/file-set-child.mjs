/** A run to be killed or starved: node file-set-child.mjs <built atomic.js> <folder> loop | <bytes>. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const [, , built, folder, task] = process.argv;
const { openFileSet } = await import(pathToFileURL(built).href);
const owner = { hostId: 'bench', pid: process.pid, isAlive: () => true };
const NAMES = ['a.plate.png', 'a.proof.png', 'a.report.json'];

/** Every line of a file names its round, so a mixed file shows; the last line says it is whole. */
const textOf = (round) => new TextEncoder().encode(`${`round ${round}\n`.repeat(200 + (round % 50))}end\n`);

async function writeSet(where, overwrite, pieces) {
  const set = openFileSet({ owner, protect: [], overwrite });
  try {
    for (const name of NAMES) await (await set.add(join(where, name))).write(pieces);
    await set.commit();
  } catch (fault) {
    await set.abandon();
    process.stdout.write(JSON.stringify({ code: fault.code, message: fault.message }));
    process.exit(4);
  }
}

if (task === 'loop') {
  mkdirSync(join(folder, 'fresh'), { recursive: true });
  process.stdout.write('ready');
  for (let round = 1; ; round++) {
    await writeSet(folder, true, [textOf(round)]);
    await writeSet(join(folder, 'fresh', String(round)), false, [textOf(round)]);
  }
}
await writeSet(folder, true, [new Uint8Array(Number(task))]);
