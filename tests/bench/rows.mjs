/**
 * What whole runs are measured on, and what we hold ourselves to. A ratio is our time to Pillow's; a megabyte is
 * a million bytes. Pillow always does Floyd–Steinberg, as it has no other screen.
 */
const floydSteinberg = ['--screen', 'errordiffusion', '--kernel', 'floyd-steinberg', '--no-hold'];
const bayer = ['--screen', 'bayer', '--no-hold'];
const judged = ['--screen', 'errordiffusion', '--kernel', 'floyd-steinberg'];

const MM_PER_INCH = 25.4;
const pxFor = (mm, dpi) => Math.round((mm * dpi) / MM_PER_INCH);

const plate = (widthMm, heightMm, dpi) => {
  const [widthPx, heightPx] = [pxFor(widthMm, dpi), pxFor(heightMm, dpi)];
  return { widthMm, heightMm, dpi, widthPx, heightPx, megapixels: Math.round((widthPx * heightPx) / 1e6) };
};

/** The promise for any picture: it follows the packed bitmap, and the pixels of a picture that its decoder holds whole. */
export const promisedMB = ({ widthPx, heightPx }, heldSourcePx) =>
  180 + (2.5 * Math.ceil(widthPx / 8) * heightPx + 3 * heldSourcePx) / 1e6;

const small = plate(300, 300, 500);
const large = plate(600, 300, 1000);

export const contests = [
  {
    name: 'small',
    picture: 'photo',
    plate: small,
    withPillow: true,
    ours: [{ title: 'floyd-steinberg', words: floydSteinberg, ratio: { aim: 0.7, most: 0.85 }, mostMB: 200 }],
  },
  {
    name: 'large',
    picture: 'photo',
    plate: large,
    withPillow: true,
    ours: [
      { title: 'floyd-steinberg', words: floydSteinberg, ratio: { aim: 0.35, most: 0.42 }, mostMB: 270 },
      { title: 'bayer', words: bayer, ratio: { aim: null, most: 0.38 }, mostMB: 270 },
      { title: 'with hold', words: judged, ratio: { aim: null, most: 1 }, mostMB: promisedMB(large, 0) },
    ],
  },
  {
    name: 'progressive',
    picture: 'progressive',
    plate: small,
    withPillow: false,
    ours: [{ title: 'floyd-steinberg', words: floydSteinberg, ratio: null, mostMB: promisedMB(small, 24e6) }],
  },
];

const classPlates = ['--process', 'intaglio', '--width', '150mm', '--height', '100mm', '--fit', 'cover'];

/** Lists, on one lane and on two: two are wanted to be `least` times as fast on two cores. */
export const lists = [
  { title: '2.1 Mpx', plates: 60, words: [...classPlates, '--dpi', '300'], least: 1.6 },
  { title: '5.8 Mpx', plates: 60, words: [...classPlates, '--dpi', '500'], least: 1.6 },
];

/** Sets beside one plate: five are to take at most four times as long. */
export const sets = [
  {
    title: `${small.megapixels} Mpx of a JPEG of 24 Mpx`,
    size: ['--process', 'relief', '--width', '300mm', '--height', '300mm', '--dpi', '500', '--fit', 'fill'],
    inks: 'yellow=#e0b020,red=#c03020,blue=#2050a0,green=#308040,black=#202020',
    methods: ['key', 'inks'],
    most: 4,
  },
];

/** Plates of twice the width of their height, each of four times the pixels of the one before: 9 to 2,240 Mpx. */
export const scale = {
  plates: [1, 2, 4, 8, 16].map((times) => plate(times * 170, times * 85, 635)),
  ours: [
    { title: 'floyd-steinberg', words: floydSteinberg },
    { title: 'with hold', words: judged },
    { title: 'cell, with hold', words: ['--screen', 'cell'] },
  ],
  /** Steepest that time may grow from the last plate but one to the last: 1 is as the pixels do. */
  steepest: 1.1,
};

const maskScreens = ['grain', 'dot Round', 'line', 'bluenoise'];

/** Screens beside each other on one thread, pixel by pixel: how much of the other's processor time each may take. */
export const kernels = [
  ...maskScreens.map((title) => ({ title, than: 'bayer', most: 1.5 })),
  { title: 'cell auto', than: 'floyd-steinberg, plain loop', most: 1 / 1.5 },
];
