/**
 * Makes the demo print: a relief block and an intaglio plate of "Night Ferry, Ennerby Sound", into examples/out/.
 * Run: npm run build && npm run demo
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const top = fileURLToPath(new URL('..', import.meta.url));
const plates = [
  { picture: 'examples/ferry-key.png', job: 'examples/ferry-key.job.json' },
  { picture: 'examples/sound-tone.png', job: 'examples/sound-tone.job.json' },
];

function run(...words) {
  const { status } = spawnSync(process.execPath, words, { cwd: top, stdio: 'inherit' });
  if (status !== 0) process.exit(status ?? 70);
}

if (!existsSync(`${top}dist/cli/main.js`)) {
  console.error('The program is not built yet. Run npm run build, then npm run demo again.');
  process.exit(2);
}
if (!plates.every(({ picture }) => existsSync(top + picture))) run('examples/artwork.mjs');
for (const { picture, job } of plates) {
  run('bin/etchwright.js', 'prepare', picture, '--job', job, '--out', 'examples/out', '--overwrite');
}

console.log(`
Two plates of "Night Ferry, Ennerby Sound" lie in examples/out/, each with its report:
  ferry-key.plate.png    relief block: what is etched stays white, so the lines stand; the title reads backwards
  sound-tone.plate.png   intaglio plate: what is etched holds ink, so sky and sea are dots; the ferry sails the other way
Open both at full size, a pixel of the plate on a pixel of the screen: is the lettering whole, and are its finest lines still there?
Then open the two .report.json files: "coverage" says how much is etched and how much prints, "cautions" what may go wrong.`);
