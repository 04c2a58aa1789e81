/**
 * How good every screen of the registry is on paper: tone, noise, detail, what holds, speed.
 * Run: npm run bench:screens, or npm run bench:screens -- --help
 */
import { parseArgs } from 'node:util';
import { rowStream } from '../../../dist/core/rng.js';
import { controlFigures, measureScreen } from './measure.mjs';
import { benchSquares } from './pictures.mjs';
import { benchScreens } from './plates.mjs';
import { leads, limits, SPOTS_PX } from './rows.mjs';
import { measureSpeed } from './speed.mjs';
import { LEGEND, tableOf } from './table.mjs';

const HELP = `npm run bench:screens -- [options]

  --only <list>   kinds of screens, joined by commas [all]
  --spots <list>  widths of the spot in pixels, up to 3 [${SPOTS_PX.join(',')}]
  --markdown      the table as Markdown`;

function wordsOf(argv) {
  const options = {
    only: { type: 'string' },
    spots: { type: 'string', default: SPOTS_PX.join(',') },
    markdown: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  };
  try {
    return parseArgs({ args: argv, options }).values;
  } catch (error) {
    return wrongWords(error.message);
  }
}

function wrongWords(what) {
  console.error(`${what}\n\n${HELP}`);
  process.exit(2);
}

/** The worst of what a limit speaks of. */
const worst = {
  flat: ({ flat }) => flat,
  picture: ({ pictures: { lettering, ...ofTone } }) =>
    Math.max(...Object.values(ofTone).map(({ error }) => Math.abs(error))),
  thin: ({ pictures }) => pictures['scene']?.thin,
  thinFlats: ({ thinFlats }) => thinFlats,
};

/** Limits that a row breaks, in words; what a screen refused is not judged. */
const breaches = (row) =>
  limits
    .filter(
      ({ kind, title, spotsPx }) =>
        (title ?? kind) === (title ? row.title : row.kind) &&
        !row.refused &&
        (spotsPx?.includes(row.spotPx) ?? true),
    )
    .flatMap((limit) =>
      Object.keys(worst)
        // not "over": a figure that is no number breaks its limit too
        .filter((name) => limit[name] !== undefined && !(worst[name](row) <= limit[name]))
        .map(
          (name) =>
            `${row.title}, spot ${row.spotPx} px: ${name} ${worst[name](row)?.toFixed(3)}, at most ${limit[name]}`,
        ),
    );

/** Leads that a row does not have, in words; where one of the two was not measured, nothing is said. */
const lost = (rows) =>
  leads.flatMap(({ ahead, behind, spotPx, hpsnr }) => {
    const [more, less] = [ahead, behind].map(
      (title) => rows.find((row) => row.title === title && row.spotPx === spotPx)?.pictures['scene']?.hpsnr,
    );
    if (more === undefined || less === undefined || more - less >= hpsnr) return [];
    return [`${ahead} over ${behind}, spot ${spotPx} px: ${(more - less).toFixed(2)} dB, at least ${hpsnr}`];
  });

const { help, markdown, only, spots } = wordsOf(process.argv.slice(2));
if (help) {
  console.log(HELP);
  process.exit(0);
}
const spotsPx = spots.split(',').map(Number);
if (!spotsPx.every((spotPx) => spotPx > 0 && spotPx <= 3))
  wrongWords(`--spots ${spots}: widths above 0, up to 3.`);
const screens = benchScreens();
const stray = only?.split(',').find((kind) => !screens.some(({ def }) => def.kind === kind));
if (stray !== undefined) wrongWords(`--only ${stray}: there is no such screen that draws marks.`);
const chosen = screens.filter(({ def }) => only?.split(',').includes(def.kind) ?? true);

const next = rowStream(1, 0, 0);
const control = controlFigures(() => next() / 2 ** 32);
console.log(
  `White noise as a control: power ${control.power.toFixed(3)} (theory 1), anisotropy ${control.anisotropyDb.toFixed(2)} dB (0), sector ${control.sector.toFixed(2)} (1)\n`,
);

const speeds = measureSpeed(screens);
const speedOf = (kind) => speeds[screens.findIndex(({ def }) => def.kind === kind)].kernel;
const pictures = await benchSquares();
const rows = chosen.flatMap((screen) =>
  spotsPx.map((spotPx) => {
    const { title, def } = screen;
    const figures = { title, kind: def.kind, spotPx, ...measureScreen(screen, spotPx, pictures) };
    if (spotPx !== 2 || figures.refused) return figures;
    const speed = speeds[screens.indexOf(screen)];
    const ofBayer = speed.kernel / speedOf('bayer');
    return { ...figures, speed, ofBayer, ofDiffusion: speed.kernel / speedOf('errordiffusion') };
  }),
);
console.log(tableOf(rows, markdown));
console.log(`\n${LEGEND}`);
for (const { title, spotPx, refused } of rows)
  if (refused) console.log(`\n${title}, spot ${spotPx} px: ${refused}`);
const broken = [...rows.flatMap(breaches), ...lost(rows)];
if (broken.length > 0) {
  console.error(`\nLimits broken:\n${broken.map((line) => `  ${line}`).join('\n')}`);
  process.exitCode = 1;
}
