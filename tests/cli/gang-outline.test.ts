/** Outlines of gang sheets, seen through an SVG renderer and held to the raster of the same sheet. */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { gangSchema } from '../../src/report/gang/schema.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
/** Ten pixels to the millimetre. */
const DPI = 254;
const ACRYLIC = ['--material', 'acrylic', '--material-confirmed', 'B. Staff, 3 May'];

/** A slanting thing without any symmetry, black on nothing, 200 × 150. */
const FIGURE = 'M20 20L180 45L120 80L165 130L50 118Z';

async function makeShape(name: string, more: readonly string[] = []): Promise<void> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="200" height="150"><path d="${FIGURE}"/></svg>`;
  await sharp(Buffer.from(svg))
    .png()
    .toFile(join(place.path, `${name}.png`));
  const made = await cli(place, [
    ...['prepare', `${name}.png`, '--process', 'intaglio', '--screen', 'threshold', '--cap', '100'],
    ...['--width', '40mm', '--dpi', String(DPI), '--no-compensate', '--outline', 'shape', '--kerf', '0'],
    ...['--min-radius', '0', '--min-bridge', '0', ...ACRYLIC, '--quiet', ...more],
  ]);
  expect([made.err, made.code]).toEqual(['', 0]);
}

async function drawPlate(name: string, widthMm: number, heightMm: number): Promise<void> {
  await sharp({ create: { width: widthMm * 10, height: heightMm * 10, channels: 3, background: '#000' } })
    .withMetadata({ density: DPI })
    .png()
    .toFile(join(place.path, name));
}

const gangAt = (name: string) => gangSchema.parse(JSON.parse(readFileSync(join(place.path, name), 'utf8')));
const textAt = (name: string): string => readFileSync(join(place.path, name), 'utf8');

/** The closed lines of an SVG as the corners they pass. */
const cornersIn = (svg: string): number[][][] =>
  [...svg.matchAll(/<path d="M([^"]+)Z"/g)].map(([, data]) =>
    data!.split(/[LC]/).map((point) => point.split(' ').slice(-2).map(Number)),
  );

test('a plate brings its outline: turned, mirrored and moved with it, in register with the raster', async () => {
  await makeShape('figure');
  const run = await cli(place, [
    ...['gang', 'figure.plate.png', '--duplicates', '3', '--kerf', '0'],
    ...['--sheet-width', '44mm', '--sheet-height', '150mm'],
  ]);
  expect(run.code, run.err).toBe(0);
  expect(run.err).toContain('outlines  around 3');
  const { sheets } = gangAt('gang.gang.json');
  const { raster, placed, outline, files } = sheets[0]!;
  expect(placed.map(({ turned }) => turned)).toEqual([true, true, true]);
  expect(outline!.plates.map(({ kind }) => kind)).toEqual(['shape', 'shape', 'shape']);
  expect(files.filter(({ role }) => role === 'outline').map(({ name }) => name)).toEqual([
    'gang.sheet1.outline.svg',
    'gang.sheet1.outline.pdf',
  ]);
  const svg = textAt('gang.sheet1.outline.svg');
  expect(svg).toContain('width="44mm" height="150mm" viewBox="0 0 44 150"');
  // as the renderer fills it, ten pixels to the millimetre, beside what is etched
  const filled = svg
    .replace('width="44mm" height="150mm"', 'width="440" height="1500"')
    .replace('fill="none" stroke="#000000"', 'fill="#000" stroke="none"');
  const grey = async (input: Buffer | string) =>
    sharp(input).flatten({ background: '#fff' }).greyscale().raw().toBuffer({ resolveWithObject: true });
  const drawn = await grey(Buffer.from(filled));
  const etched = await grey(join(place.path, 'gang.sheet1.plate.png'));
  expect([drawn.info.width, etched.info.width]).toEqual([440, raster.widthPx]);
  for (const { xPx, yPx, widthPx, heightPx } of placed) {
    let [inside, differs] = [0, 0];
    for (let y = yPx; y < yPx + heightPx; y++)
      for (let x = xPx; x < xPx + widthPx; x++) {
        const isInside = drawn.data[y * 440 + x]! < 128;
        inside += isInside ? 1 : 0;
        differs += isInside === etched.data[y * raster.widthPx + x]! < 128 ? 0 : 1;
      }
    // the figure's area by its corners (shoelace): 10,155 of 30,000
    expect(inside / (400 * 300)).toBeCloseTo(0.3385, 2);
    // its lines pass some 1,000 pixels, and each is off by no more than one
    expect(differs).toBeLessThan(500);
  }
});

test('--outline draws one line around every plate, half the kerf outside its edges, in the colour asked for', async () => {
  await drawPlate('a.png', 60, 40);
  await drawPlate('b.png', 50, 30);
  const run = await cli(place, [
    ...['gang', 'a.png', 'b.png', '--process', 'intaglio', ...ACRYLIC, '--name', 'two'],
    ...['--outline', 'rectangle', '--outline-colour', '#c00', '--kerf', '0.3mm'],
    ...['--sheet-width', '160mm', '--sheet-height', '100mm'],
  ]);
  expect(run.code, run.err).toBe(0);
  const [sheet] = gangAt('two.gang.json').sheets;
  const svg = textAt('two.sheet1.outline.svg');
  expect(svg).toContain('stroke="#cc0000"');
  const boxes = cornersIn(svg).map((points) => {
    const [xs, ys] = [points.map(([x]) => x!), points.map(([, y]) => y!)];
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  });
  expect(boxes).toHaveLength(2);
  for (const [i, { xMm, yMm, widthMm, heightMm }] of sheet!.placed.entries())
    for (const [at, mm] of [xMm - 0.15, yMm - 0.15, xMm + widthMm + 0.15, yMm + heightMm + 0.15].entries())
      expect(boxes[i]![at]).toBeCloseTo(mm, 3);
  expect(sheet!.outline).toMatchObject({ as: 'cut', kerfMm: 0.3 });
  expect(sheet!.outline!.lengthMm).toBeCloseTo(2 * (60.3 + 40.3 + 50.3 + 30.3), 2);
});

test('where a sheet is engraved but not cut, the lines are guides without a kerf, dashed and named', async () => {
  await drawPlate('a.png', 60, 40);
  const gang = (material: string, process: string, name: string, ...more: string[]) =>
    cli(place, [
      ...['gang', 'a.png', '--process', process, '--material', material, '--outline', 'rectangle'],
      ...['--material-confirmed', 'B. Staff, 3 May', '--outline-as', 'cut', '--name', name, ...more],
    ]);
  expect((await gang('lino', 'relief', 'lino')).code).toBe(0);
  expect(gangAt('lino.gang.json').sheets[0]!.outline).toMatchObject({ as: 'guide', kerfMm: 0 });
  expect(textAt('lino.sheet1.outline.svg')).toContain('not a line for the laser');
  expect(textAt('lino.sheet1.outline.svg')).toContain('stroke-dasharray');
  expect(gangAt('lino.gang.json').cautions.map(({ code }) => code)).toContain('outline-guide');
  expect((await gang('zinc', 'intaglio', 'zinc')).code).toBe(0);
  expect(gangAt('zinc.gang.json').sheets[0]!.outline).toMatchObject({ as: 'template', kerfMm: 0 });
  // a plate at the very edge of its sheet: the line would run beyond it
  const edge = await gang('acrylic', 'intaglio', 'edge', '--sheet-margin', '0', '--sheet-width', '60');
  expect(edge.code, edge.err).toBe(0);
  expect(gangAt('edge.gang.json').cautions.map(({ code }) => code)).toContain('outline-leaves-sheet');
});

test('what is missing or other than it was is told; without outlines there are no files of them', async () => {
  await makeShape('figure');
  await drawPlate('bare.png', 30, 30);
  const told = await cli(place, ['gang', 'figure.plate.png', 'bare.png', '--kerf', '0.2', '--json']);
  expect(told.code, told.err).toBe(0);
  const { cautions } = gangSchema.parse(JSON.parse(told.out));
  const said = (code: string) => cautions.find((one) => one.code === code)?.text;
  expect(said('outline-left-out')).toContain('bare.png');
  expect(said('outline-other-kerf')).toContain('kerf of 0 mm, and here it is 0.2 mm');
  writeFileSync(join(place.path, 'figure.outline.svg'), '<svg/>');
  const changed = await cli(place, ['gang', 'figure.plate.png', '--out', 'new']);
  expect([changed.code, changed.err]).toEqual([3, expect.stringContaining('is not as it was written')]);
  rmSync(join(place.path, 'figure.outline.svg'));
  const gone = await cli(place, ['gang', 'figure.plate.png', '--out', 'new']);
  expect([gone.code, gone.err]).toEqual([3, expect.stringContaining('cannot be read')]);
  expect(namesIn(join(place.path, 'new'))).toEqual([]);
  const shape = await cli(place, ['gang', 'bare.png', '--outline', 'shape']);
  expect(shape.code).toBe(2);
  expect((await cli(place, ['gang', 'bare.png', '--out', 'bare'])).code).toBe(0);
  expect(namesIn(join(place.path, 'bare')).filter((name) => name.includes('outline'))).toEqual([]);
});

/** Fired pixels of a sheet's PNG, dark where they fire. */
async function firedIn(name: string) {
  const { data, info } = await sharp(join(place.path, name))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return {
    widthPx: info.width,
    heightPx: info.height,
    at: (x: number, y: number) => data[y * info.width + x]! < 128,
  };
}

test('guides are engraved in the waste, just outside the lines of the drawing; plates and lettering keep their bits', async () => {
  await drawPlate('one.png', 30, 20);
  await drawPlate('two.png', 25, 15);
  const words = ['one.png', 'two.png', '--process', 'relief', '--format', 'png', '--sheet-width', '80mm'];
  const gang = (name: string, ...more: string[]) =>
    cli(place, [
      'gang',
      ...words,
      '--material',
      'lino',
      '--material-confirmed',
      'B. Staff',
      '--name',
      name,
      ...more,
    ]);
  expect((await gang('bare')).code).toBe(0);
  expect((await gang('guided', '--outline', 'rectangle')).code).toBe(0);
  const { raster, placed, outline, files } = gangAt('guided.gang.json').sheets[0]!;
  expect(files.map(({ role }) => role)).toEqual(['plate', 'outline', 'outline']);
  expect(outline).toMatchObject({ as: 'guide', kerfMm: 0, plates: [{}, {}] });
  // from memory: lino holds gaps of 0.3 mm; a pixel more for lines that slant
  const guidePx = Math.round(outline!.guideMm! * 10);
  expect(guidePx).toBeGreaterThanOrEqual(2);
  const [bare, guided] = [await firedIn('bare.sheet1.plate.png'), await firedIn('guided.sheet1.plate.png')];
  expect([guided.widthPx, guided.heightPx]).toEqual([raster.widthPx, raster.heightPx]);
  // the boxes of the drawn lines, as the SVG has them, in pixels
  const boxes = cornersIn(textAt('guided.sheet1.outline.svg')).map((corners) => {
    const [xs, ys] = [corners.map(([x]) => x! * 10), corners.map(([, y]) => y! * 10)];
    return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
  });
  expect(boxes).toHaveLength(2);
  const outside = (x: number, y: number): number =>
    Math.min(
      ...boxes.map(({ left, top, right, bottom }) =>
        Math.hypot(Math.max(left - x, 0, x - right), Math.max(top - y, 0, y - bottom)),
      ),
    );
  const isBare = (x: number, y: number): boolean => x < bare.widthPx && y < bare.heightPx && bare.at(x, y);
  let [added, lost, wrong] = [0, 0, 0];
  for (let y = 0; y < guided.heightPx; y++)
    for (let x = 0; x < guided.widthPx; x++) {
      const is = guided.at(x, y);
      if (is && !isBare(x, y)) added++;
      if (!is && isBare(x, y)) lost++;
      const far = outside(x + 0.5, y + 0.5);
      // within half a pixel of the strip's edges and round its corners either will do
      if (far > 0 && far < guidePx - 0.6 && !is) wrong++;
      if (far > guidePx + 0.6 && is !== isBare(x, y)) wrong++;
    }
  expect([lost, wrong]).toEqual([0, 0]);
  const around = placed.reduce((sum, { widthMm, heightMm }) => sum + 20 * (widthMm + heightMm), 0);
  // strips along the sides, and a quarter of a disc at each corner (closed form)
  const expected = around * guidePx + 2 * Math.PI * guidePx ** 2;
  expect(Math.abs(added / expected - 1)).toBeLessThan(0.02);
  const codes = gangAt('guided.gang.json').cautions.map(({ code }) => code);
  expect(codes).toContain('outline-guide');
  expect(codes).not.toContain('outline-guide-short');
  // no margin at all: two sides of each line have no waste to lie in
  expect((await gang('tight', '--outline', 'rectangle', '--sheet-margin', '0')).code).toBe(0);
  expect(gangAt('tight.gang.json').cautions.map(({ code }) => code)).toContain('outline-guide-short');
});
