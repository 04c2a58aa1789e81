/**
 * Makes the two sets of the demo into examples/out/: "Night Ferry, Ennerby Sound" in two acrylic plates and a key
 * block, and its card, reduced from one block in four stages. With --draw it draws their pictures anew first.
 * Run: npm run build && node examples/night-ferry.mjs
 */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const top = fileURLToPath(new URL('..', import.meta.url));
const here = 'examples/night-ferry';

/** The command lines of both sets, without where they go. */
export const SETS = [
  [
    ...[
      '--name',
      'night-ferry',
      '--job',
      `${here}/plates.job.json`,
      '--plate-job',
      `key=${here}/key.job.json`,
    ],
    ...[
      '--plate',
      `lamps=${here}/lamps.svg`,
      '--plate',
      `sound=${here}/sound.svg`,
      '--plate',
      `key=${here}/key.svg`,
    ],
    ...['--inks', 'lamps=#e8b84a:transparent,sound=#2b3f63:transparent,key=#1d1c20'],
    ...['--register', 'crosses', '--edition', '24', '--edition-proofs', '7'],
  ],
  [
    ...['--by', 'reduction', '--name', 'card', '--job', `${here}/card.job.json`],
    ...[1, 2, 3, 4].flatMap((stage) => ['--plate', `stage-${stage}=${here}/card-${stage}.svg`]),
    ...['--inks', 'stage-1=#f0d9a0,stage-2=#7fa3b0,stage-3=#3f5f86,stage-4=#1f2638'],
    ...['--edition', '12', '--edition-proofs', '3'],
  ],
];

async function draw() {
  const { cardStages, keyPlate, lampsPlate, soundPlate } = await import('./artwork/set.mjs');
  const pictures = { sound: soundPlate(), lamps: lampsPlate(), key: keyPlate() };
  for (const [name, svg] of Object.entries(pictures)) writeFileSync(`${top}${here}/${name}.svg`, svg);
  for (const [index, svg] of cardStages().entries())
    writeFileSync(`${top}${here}/card-${index + 1}.svg`, svg);
}

function make(words) {
  const rest = ['--proof', '--jobsheet', '--out', 'examples/out', '--overwrite'];
  const program = ['bin/etchwright.js', 'separate', ...words, ...rest];
  const { status } = spawnSync(process.execPath, program, { cwd: top, stdio: 'inherit' });
  if (status !== 0) process.exit(status ?? 70);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  if (process.argv.includes('--draw')) await draw();
  for (const words of SETS) make(words);
}
