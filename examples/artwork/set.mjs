import { FERRY_LAMPS, ferryDark, ferryLights, ferryTrim } from './ferry.mjs';
import { FRAME, HORIZON, harbour, headland, KEY_SIZE, LIGHT, lighthouse, QUAY_LAMPS } from './key-shore.mjs';
import { title } from './key-title.mjs';

/**
 * The plates of "Night Ferry, Ennerby Sound" as a set: three drawings on one canvas, in key, tone and light, and four
 * stages of the reduction card. Darkness is ink.
 */
const MOON = { x: 560, y: 330, r: 92 };
const FERRY = { x: 420, y: 972, scale: 1.12 };
const SIZE_MM = { width: 240, height: 160 };

const { left, top, right, bottom } = FRAME;
const ship = `transform="translate(${FERRY.x} ${FERRY.y}) scale(${FERRY.scale})"`;
const aboard = ({ x, y }) => ({ x: FERRY.x + x * FERRY.scale, y: FERRY.y + y * FERRY.scale });
const view = `<clipPath id="view"><rect x="${left}" y="${top}" width="${right - left}" height="${bottom - top}"/></clipPath>`;

const page = (name, inner, defs = '') =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${SIZE_MM.width}mm" height="${SIZE_MM.height}mm" viewBox="0 0 ${KEY_SIZE.widthPx} ${KEY_SIZE.heightPx}"><title>Night Ferry: ${name}</title><defs>${defs}${view}</defs><rect width="100%" height="100%" fill="#fff"/>${inner}</svg>\n`;

const outlines = (width) =>
  `<g ${ship} color="#fff" fill="#fff" stroke="#fff" stroke-width="${width}" stroke-linejoin="round">${ferryDark()}</g>`;

/** The key: what is drawn in lines and solids, and the title. Its sky and sea are left to the other plates. */
export const keyPlate = () =>
  page(
    'key',
    `<g clip-path="url(#view)">${lighthouse()}${headland()}${harbour()}
    <g ${ship} color="#000">${ferryDark()}</g><g ${ship} color="#fff" fill="#fff">${ferryLights()}${ferryTrim()}</g>
    <circle cx="${MOON.x}" cy="${MOON.y}" r="${MOON.r}" fill="none" stroke="#000" stroke-width="8"/></g>
    <rect x="${left}" y="${top}" width="${right - left}" height="${bottom - top}" fill="none" stroke="#000" stroke-width="14"/>
    ${title()}`,
  );

/** The sound: night from above and the water, light around moon, lighthouse and lamps. */
export function soundPlate() {
  const glow = (id, from) =>
    `<radialGradient id="${id}"><stop offset="0" stop-color="#fff"/><stop offset="${from}" stop-color="#fff" stop-opacity="0.75"/><stop offset="1" stop-color="#fff" stop-opacity="0"/></radialGradient>`;
  const shade = (id, upper, lower) =>
    `<linearGradient id="${id}" x2="0" y2="1"><stop offset="0" stop-color="${upper}"/><stop offset="1" stop-color="${lower}"/></linearGradient>`;
  const lamps = [...QUAY_LAMPS, ...FERRY_LAMPS.map(aboard)];
  const streaks = lamps
    .map(
      ({ x }, i) =>
        `<rect x="${x - 9}" y="${HORIZON + 24}" width="18" height="${150 + 23 * (i % 4)}" fill="#fff" opacity="0.5"/>`,
    )
    .join('');
  return page(
    'sound',
    `<g clip-path="url(#view)"><rect x="${left}" y="${top}" width="${right - left}" height="${HORIZON - top}" fill="url(#sky)"/>
    <rect x="${left}" y="${HORIZON}" width="${right - left}" height="${bottom - HORIZON}" fill="url(#sea)"/>
    <circle cx="${MOON.x}" cy="${MOON.y}" r="${4 * MOON.r}" fill="url(#moon)"/><circle cx="${MOON.x}" cy="${MOON.y}" r="${MOON.r}" fill="#fff"/>
    <circle cx="${LIGHT.x}" cy="${LIGHT.y}" r="220" fill="url(#lamp)"/>
    ${lamps.map(({ x, y }) => `<circle cx="${x}" cy="${y}" r="60" fill="url(#lamp)"/>`).join('')}${streaks}
    ${outlines(5)}</g>`,
    `${shade('sky', '#1a1a1a', '#9a9a9a')}${shade('sea', '#7a7a7a', '#2c2c2c')}${glow('moon', 0.26)}${glow('lamp', 0.2)}`,
  );
}

/** The lamps: windows, lights and what they throw on air and water. */
export function lampsPlate() {
  const lamps = [LIGHT, ...QUAY_LAMPS, ...FERRY_LAMPS.map(aboard)];
  const streaks = lamps
    .map(
      ({ x }, i) =>
        `<rect x="${x - 6}" y="${HORIZON + 30}" width="12" height="${130 + 23 * (i % 4)}" fill="#666"/>`,
    )
    .join('');
  return page(
    'lamps',
    `<g clip-path="url(#view)"><circle cx="${MOON.x}" cy="${MOON.y}" r="${MOON.r + 4}" fill="#bbb"/>
    ${lamps.map(({ x, y }) => `<circle cx="${x}" cy="${y}" r="56" fill="url(#halo)"/>`).join('')}${streaks}
    <g ${ship} color="#000" stroke="#000" stroke-width="8">${ferryLights()}</g></g>`,
    '<radialGradient id="halo"><stop offset="0" stop-color="#000"/><stop offset="1" stop-color="#000" stop-opacity="0"/></radialGradient>',
  );
}

const CARD_MM = { width: 120, height: 80 };

const card = (inner, index) =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${CARD_MM.width}mm" height="${CARD_MM.height}mm" viewBox="0 0 1200 800"><title>Card: stage ${index + 1}</title><rect width="1200" height="800" fill="#fff"/>${inner}</svg>\n`;

/**
 * Four stages of the card, from light to dark, each black where the block still prints. The third asks for a lamp that
 * the second has cut away: what cannot be printed any more.
 */
export function cardStages() {
  const at = 'transform="translate(190 560) scale(0.82)"';
  const hull = `<g ${at} color="#000" stroke-width="3">${ferryDark()}</g>`;
  const holes = `<g ${at} color="#fff" fill="#fff">${ferryLights()}</g>`;
  const sea = '<path d="M0 520 q150 -26 300 0 t300 0 t300 0 t300 0 V800 H0 Z"/>';
  const bands = [575, 640, 710]
    .map(
      (y) =>
        `<path d="M0 ${y} q150 -22 300 0 t300 0 t300 0 t300 0 v26 q-150 22 -300 0 t-300 0 t-300 0 t-300 0 Z" fill="#fff"/>`,
    )
    .join('');
  const moon = '<circle cx="950" cy="170" r="74" fill="#fff"/>';
  const lamp = '<rect x="938" y="150" width="8" height="14"/>';
  return [
    `<rect width="1200" height="800"/>${moon}`,
    `<path d="M0 0 H1200 V330 q-300 90 -600 40 t-600 60 Z"/>${sea}${hull}${moon}${holes}`,
    `<path d="M0 0 H1200 V120 q-300 60 -600 20 t-600 50 Z"/>${sea}${bands}${hull}${moon}${holes}${lamp}`,
    `${hull}${holes}`,
  ].map(card);
}
