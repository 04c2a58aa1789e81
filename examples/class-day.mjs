/**
 * The afternoon of a class, command by command: fifteen pictures become plates or reasons, the plates go on as few sheets
 * as they need, with the lines that they are cut along, and the sheets into two booked slots.
 * Run: npm run build && node examples/class-day.mjs [folder]
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

/** Sheets that the workshop has, and the slots that it gave. */
const SHEET = ['--sheet-width', '600mm', '--sheet-height', '400mm'];
const SLOTS = '90,60';

/** Runs the program, whose report it gives back; it may end in no other way than the one that is meant. */
function etchwright(isQuiet, ending, ...words) {
  if (!isQuiet) console.log(`\n$ etchwright ${words.join(' ')}`);
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [here('../bin/etchwright.js'), ...words, '--json'],
    { encoding: 'utf8', maxBuffer: 2 ** 28, stdio: ['ignore', 'pipe', isQuiet ? 'pipe' : 'inherit'] },
  );
  if (status !== ending)
    throw new Error(`etchwright ${words[0]} ended with ${status} instead of ${ending}\n${stderr ?? ''}`);
  return JSON.parse(stdout);
}

/** What became of each picture, the sheets and the slots; everything lies in the folder afterwards. */
export function classDay(folder, isQuiet = false) {
  const plates = join(folder, 'plates');
  const list = [here('class/list.csv'), '--job', here('class/class.job.json')];
  // one of the fifteen wants to use vinyl: the others get their plates, and the exit code is 6
  const batch = etchwright(isQuiet, 6, 'batch', ...list, '--out', plates);
  const files = batch.plates
    .filter(({ outcome }) => outcome === 'made' || outcome === 'kept')
    .map(({ name }) => join(plates, `${name}.plate.png`));
  const sheets = join(folder, 'sheets');
  const gang = etchwright(
    isQuiet,
    0,
    ...['gang', ...files, ...SHEET, '--outline', 'rectangle', '--name', 'class', '--out', sheets],
  );
  const slots = etchwright(isQuiet, 0, 'slots', join(sheets, 'class.gang.json'), '--slots', SLOTS);
  return { batch, gang, slots };
}

function tell({ batch, gang, slots }) {
  const places = new Map(
    gang.sheets.flatMap(({ number, placed }) =>
      placed.map(({ name, id, xMm, yMm }) => [
        name,
        `sheet ${number} at ${xMm.toFixed(1)}, ${yMm.toFixed(1)} mm, as ${id}`,
      ]),
    ),
  );
  console.log('');
  for (const { called, name, problems } of batch.plates)
    console.log(`${called.padEnd(18)} ${places.get(name) ?? `no plate: ${problems[0].message}`}`);
  console.log(
    `\n${gang.arrangement.plates} plates on ${gang.sheets.length} sheets; all of them fit: ${slots.fits}`,
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url)) tell(classDay(process.argv[2] ?? here('out/class')));
