/** Fifteen invented pictures of one harbour: sky, hills and water of smooth chance, and a thing drawn before them. */
import { clamp, clouds, mix, ramp } from '../artwork/noise.mjs';

const WIDTH = 900;
const HEIGHT = 600;

/** Sky, hills, water: one byte of lightness a pixel; `seed` chooses the day. */
export function scene(seed, widthPx = WIDTH, heightPx = HEIGHT) {
  const grey = Buffer.alloc(widthPx * heightPx);
  const horizon = 0.5 + 0.12 * Math.sin(seed * 1.7);
  const moon = { x: 0.2 + 0.6 * ((seed * 0.37) % 1), y: 0.16 + 0.1 * Math.sin(seed), r: 0.05 };
  for (let py = 0; py < heightPx; py++)
    for (let px = 0; px < widthPx; px++) {
      const x = px / heightPx;
      const y = py / heightPx;
      const sky = mix(0.35, 0.95, y / horizon) - 0.3 * ramp(0.45, 0.75, clouds(x * 3, y * 5, seed));
      const disc = ramp(moon.r + 0.004, moon.r - 0.004, Math.hypot(x - moon.x * 1.5, y - moon.y));
      const hills = horizon - 0.16 * clouds(x * 2.2, seed, seed + 40, 4) - 0.04;
      const wave =
        0.5 + 0.5 * Math.sin(180 * Math.sqrt(Math.max(0, y - horizon)) + 9 * clouds(x * 4, y * 9, seed + 9));
      const water = mix(0.2, 0.62, wave) * mix(0.8, 1.15, (y - horizon) * 2);
      const above = y < hills ? mix(sky, 1, disc) : mix(0.28, 0.16, ramp(hills, horizon, y));
      grey[py * widthPx + px] = Math.round(255 * clamp(y < horizon ? above : water));
    }
  return grey;
}

const filled = (d, shade = '#111') => `<path d="${d}" fill="${shade}"/>`;

/** What stands before the harbour, in a box of 900 × 600. */
export const THINGS = {
  boat: filled('M300 430h330l-50 62H345zM450 424V190l120 225z') + filled('M438 424V230l-92 190z', '#ddd'),
  tower:
    filled('M610 480l22-260h56l22 260zM622 205h76v-46l-38-32-38 32z') + filled('M636 160h48v40h-48z', '#fff'),
  tree: filled(
    'M420 520c10-90 4-130-6-170l-70-60 8-10 60 44-10-70 14-2 18 66 52-62 12 8-50 78c-4 60-4 110 14 178z',
  ),
  birds: [120, 260, 420, 520, 700]
    .map(
      (x, i) =>
        `<path d="M${x} ${150 + (i % 3) * 60}q30-36 44 0q20-34 50-6" fill="none" stroke="#111" stroke-width="9" stroke-linecap="round"/>`,
    )
    .join(''),
  house: filled('M180 470V330l110-84 110 84v140z') + filled('M230 360h44v44h-44zM316 470v-90h46v90z', '#eee'),
  fish:
    filled('M240 300c90-110 260-110 350 0l90-60c-20 40-20 80 0 120l-90-60c-90 110-260 110-350 0z') +
    '<circle cx="320" cy="282" r="12" fill="#fff"/>',
  crane:
    `<path d="M250 500V160h360M250 160l-60 60M250 230l120-70M540 160v120" fill="none" stroke="#111" stroke-width="16"/>` +
    filled('M510 280h60v52h-60z'),
};

export const SIZE = { widthPx: WIDTH, heightPx: HEIGHT };

export const svgOf = (inner, background = '') =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 900 600">${background}${inner}</svg>`;
