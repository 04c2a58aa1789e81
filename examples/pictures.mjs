/**
 * Makes the README's pictures: the proof of a plate and the hold map of a block, by the program, into
 * examples/pictures/. Run: npm run pictures
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
/** What a proof of one ink and a map of eight colours need to look the same. */
const COLOURS = 32;

/** Half the column that a README is read in; a map's legend wants twice the pixels. */
const pictures = [
  { name: 'sound-tone', flag: '--proof', look: 'proof', ppi: 48 },
  { name: 'ferry-key', flag: '--holdmap', look: 'hold', ppi: 72 },
];

const work = mkdtempSync(join(tmpdir(), 'etchwright-pictures-'));
mkdirSync(here('pictures'), { recursive: true });
try {
  for (const { name, flag, look, ppi } of pictures) {
    const job = ['--job', here(`${name}.job.json`), '--width', '240mm'];
    const rest = [flag, '--proof-ppi', String(ppi), '--out', work, '--quiet'];
    const program = [here('../bin/etchwright.js'), 'prepare', here(`${name}.png`), ...job, ...rest];
    const { status } = spawnSync(process.execPath, program, { stdio: ['ignore', 'ignore', 'inherit'] });
    if (status !== 0) throw new Error(`the ${look} of ${name} could not be made`);
    await sharp(join(work, `${name}.${look}.png`))
      .png({ palette: true, colours: COLOURS, dither: 0, compressionLevel: 9 })
      .toFile(here(`pictures/${name}.${look}.png`));
  }
} finally {
  rmSync(work, { recursive: true, force: true });
}
