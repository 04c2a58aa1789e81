import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { freshPlace } from '../cli/run-cli.ts';
import { makePlate } from './make.ts';
import { corpus } from './pictures.ts';

const place = freshPlace();

// N = round(mm · dpi / 25.4), worked by hand
test.each([
  [100, 300, 1181, 99.991333],
  [100, 500, 1969, 100.0252],
  [100, 600, 2362, 99.991333],
  [100, 1000, 3937, 99.9998],
  [150, 500, 2953, 150.0124],
  [200, 500, 3937, 199.9996],
])(
  'check 1: %d mm at %d dpi are %d px, %d mm, and the report says how far off',
  async (mm, dpi, px, realMm) => {
    const settings = { process: 'relief', widthMm: mm, heightMm: 5, fit: 'fill', dpi };
    const { report, plate } = await makePlate(place.path, corpus('good/gen-wedge21.png'), settings);
    expect(plate.widthPx).toBe(px);
    expect(report.plate).toMatchObject({ widthMm: mm, heightMm: 5, widthPx: px, dpi });
    expect(mm + report.plate.residueMm.x).toBeCloseTo(realMm, 5);
    expect(5 + report.plate.residueMm.y).toBeCloseTo((plate.heightPx * 25.4) / dpi, 6);
    expect(Math.abs(report.plate.residueMm.x)).toBeLessThanOrEqual(report.plate.pitchMm / 2);
    expect(Math.abs(report.plate.residueMm.y)).toBeLessThanOrEqual(report.plate.pitchMm / 2);
  },
);

test('A4 at 300 dpi is 2480 × 3508 px', async () => {
  const settings = { process: 'relief', widthMm: 210, heightMm: 297, fit: 'fill', dpi: 300 };
  const { plate } = await makePlate(place.path, corpus('good/gen-flat-128.png'), settings);
  expect([plate.widthPx, plate.heightPx]).toEqual([2480, 3508]); // ISO 216 sizes, nearest pixel
});

test('one side alone keeps the proportion; a picture that says its size needs neither', async () => {
  const wedge = corpus('good/gen-wedge21.png');
  const { report } = await makePlate(place.path, wedge, { process: 'relief', widthMm: 42 });
  expect(report.plate).toMatchObject({ widthMm: 42, heightMm: 4, widthPx: 827, heightPx: 79 });
  // 420 × 40 px at 300 dpi, stated in its pHYs as 11811 px a metre
  const { report: own } = await makePlate(place.path, wedge, { process: 'relief' }, 'own');
  expect(own.plate.widthMm).toBeCloseTo(420 / 11.811, 6);
  expect(own.origins['widthMm']).toBe('measured');
});

// 8.6 thousand million pixels are 1 GiB of packed bits
test.each([
  ['one side given', { widthMm: 5000 }, 'width="1mm" height="1mm"'],
  ['its own size', {}, 'width="5000mm" height="5000mm"'],
])('a plate too large for memory is refused where the picture gives a side: %s', async (_, size, stated) => {
  const file = join(place.path, 'vast.svg');
  const drawing = '<rect width="1" height="1"/>';
  writeFileSync(file, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 2" ${stated}>${drawing}</svg>`);
  const made = makePlate(place.path, file, { process: 'relief', dpi: 1000, ...size });
  await expect(made).rejects.toMatchObject({ problems: [{ code: 'plate-too-large' }] });
});
