/** Lines that a plate is too coarse for, over the whole way: lost lines must never be lost in silence. */
import { expect, test } from 'vitest';
import { freshPlace } from '../cli/run-cli.ts';
import { makePlate } from './make.ts';
import { greyPng, save } from './pictures.ts';

const place = freshPlace();

/** 1,000 × 200 px in one tone, with nine upright lines of 2 px in another. */
const lines = (ground: number, line: number) => {
  const inLine = (x: number, y: number) => x % 100 >= 50 && x % 100 < 52 && y > 20 && y < 180 && x < 900;
  const framed = (x: number, y: number) => x > 9 && x < 990 && y > 9 && y < 190;
  return greyPng(1000, 200, (x, y) => (inLine(x, y) ? line : framed(x, y) ? ground : 255));
};

// 1,000 px on 20 mm at 254 dpi: five to a plate pixel, so that lines of two vanish
test.each([
  ['dark lines', 255, 0, {}, 'thin-lines'],
  ['light lines in black', 0, 255, {}, 'thin-gaps'],
  ['grey lines that only a low level draws', 255, 160, { levelPercent: 30 }, 'thin-lines'],
  ['black lines under a low cap', 255, 0, { capPercent: 45, levelPercent: 40 }, 'thin-lines'],
])('%s', async (name, ground, line, values, code) => {
  const settings = { process: 'relief', screen: 'threshold', widthMm: 20, dpi: 254, hold: false, ...values };
  const { report } = await makePlate(
    place.path,
    save(place.path, 'a.png', lines(ground, line)),
    settings,
    name,
  );
  const thin = report.cautions.filter(({ code }) => code.startsWith('thin-'));
  expect(thin.map(({ code, value }) => [code, value])).toEqual([[code, expect.closeTo(0.04, 3)]]);
});
