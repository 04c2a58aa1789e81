import { FERRY_LAMPS, FUNNEL_TOP, ferryDark, ferryLights, ferryTrim } from './ferry.mjs';
import {
  buoy,
  FRAME,
  HORIZON,
  harbour,
  headland,
  KEY_SIZE,
  LIGHT,
  lighthouse,
  QUAY_LAMPS,
} from './key-shore.mjs';
import { title } from './key-title.mjs';
import { clouds, mix, noise, ramp, stream } from './noise.mjs';
import { lineAcross, repeat } from './swelled.mjs';

const MOON = { x: 560, y: 330, r: 92 };
const FERRY = { x: 420, y: 972, scale: 1.12 };

const far = (x, y, to) => Math.hypot(x - to.x, y - to.y);
const aboard = ({ x, y }) => ({ x: FERRY.x + x * FERRY.scale, y: FERRY.y + y * FERRY.scale });

const hillTop = (x) =>
  HORIZON -
  20 -
  96 * Math.exp(-(((x - 330) / 330) ** 2)) -
  62 * Math.exp(-(((x - 1020) / 300) ** 2)) -
  34 * clouds(x / 90, 0, 41, 4);
/** How far a place lies inside one of the beams of the lighthouse, 0…1. */
function beam(x, y) {
  const dx = x - LIGHT.x;
  const dy = y - LIGHT.y;
  const reach = Math.abs(dx);
  const axis = dx < 0 ? -0.1 * dx - reach * 0.235 : -reach * 0.12;
  const half = 8 + reach * 0.062;
  return ramp(half + 5, half - 5, Math.abs(dy - axis)) * ramp(1500, 500, reach);
}

/** Smoke drifts from the funnel against the ship's way. */
function smoke(x, y) {
  const top = aboard(FUNNEL_TOP);
  const along = x - top.x;
  if (along < -20) return 0;
  const middle = top.y - 34 - 150 * (1 - Math.exp(-along / 260)) + 40 * (clouds(along / 140, 1, 61, 3) - 0.5);
  const half = 16 + along * 0.13;
  const rag = half * (0.6 + 0.9 * clouds(x / 46, y / 34, 62, 3));
  return ramp(rag, rag * 0.7, Math.abs(y - middle)) * ramp(900, 560, along);
}

function skyDark(x, y) {
  let dark = mix(0.3, 0.74, ramp(HORIZON, 140, y));
  const bank = clouds(x / 420 + 3, y / 62, 21, 5);
  dark *= 1 - 0.62 * ramp(0.5, 0.66, bank) * ramp(120, 330, y);
  dark *= ramp(MOON.r - 24, MOON.r + 300, far(x, y, MOON)) ** 0.62;
  dark = mix(dark, 0, beam(x, y));
  if (y > hillTop(x)) dark = 0.7 + 0.25 * noise(x / 30, y / 9, 5);
  const fume = smoke(x, y);
  if (fume > 0) dark = mix(dark, 0.86 - 0.5 * ramp(0.42, 0.6, clouds(x / 60, y / 40, 63, 4)), fume);
  for (const lamp of QUAY_LAMPS) dark *= ramp(10, 56, far(x, y, lamp));
  return dark * ramp(16, 90, far(x, y, LIGHT));
}

function sky() {
  const pitchPx = 11.5;
  let d = '';
  for (let y = FRAME.top + 6; y < HORIZON; y += pitchPx) {
    const course = (x) => y + 3 * (noise(x / 260, y / 60, 11) - 0.5);
    d += lineAcross({ fromPx: FRAME.left, toPx: FRAME.right }, course, (x, at) => pitchPx * skyDark(x, at));
  }
  return `<path d="${d}"/>`;
}

function seaDark(x, y, depth) {
  const swell = clouds(x / mix(40, 190, depth), y / mix(5, 26, depth), 31, 4);
  let dark = mix(0.6, 0.72, depth) * (0.35 + 1.35 * ramp(0.36, 0.6, swell));
  const path = Math.abs(x - MOON.x - 18 * Math.sin(y / 40)) / mix(46, 190, depth);
  dark *= 1 - ramp(1.2, 0.3, path) * (0.55 + 0.45 * ramp(0.55, 0.4, swell));
  const hull = ramp(FERRY.x + 10, FERRY.x + 60, x) * ramp(FERRY.x + 1100, FERRY.x + 1030, x);
  if (y > FERRY.y) dark = mix(dark, 0.4 + 0.75 * ramp(0.38, 0.5, swell), hull * ramp(150, 40, y - FERRY.y));
  for (const lamp of QUAY_LAMPS) {
    const off = Math.abs(x - lamp.x - 5 * Math.sin(y / 7 + lamp.x));
    dark *= 1 - ramp(15, 8, off) * ramp(960, 800, y) * ramp(0.62, 0.46, swell);
  }
  for (const lamp of FERRY_LAMPS.map(aboard)) {
    const off = Math.abs(x - lamp.x - 7 * Math.sin(y / 11 + lamp.x));
    if (y > FERRY.y) dark *= 1 - ramp(20, 10, off) * ramp(1180, 1030, y) * ramp(0.66, 0.5, swell);
  }
  return Math.min(dark, 0.94);
}

function sea() {
  let d = '';
  for (let y = HORIZON + 5; y < FRAME.bottom - 4; ) {
    const depth = (y - HORIZON) / (FRAME.bottom - HORIZON);
    const pitchPx = mix(8.5, 19, depth);
    const at = y;
    const lift = mix(1, 15, depth);
    const course = (x) =>
      at +
      lift * (clouds(x / mix(60, 230, depth), at / mix(30, 90, depth), 33, 2) - 0.5) +
      lift * 0.22 * Math.sin(x / mix(14, 44, depth) + at);
    d += lineAcross(
      { fromPx: FRAME.left, toPx: FRAME.right },
      course,
      (x, yAt) => pitchPx * seaDark(x, yAt, depth),
    );
    y += pitchPx;
  }
  return `<path d="${d}"/>`;
}

/** The bow wave and the wash along the side: white cuts in the black of the hull. */
function wash() {
  let white = '';
  for (let k = 0; k < 4; k++) {
    const y = FERRY.y + 2 + k * 9;
    white += lineAcross(
      { fromPx: FERRY.x - 30 + k * 16, toPx: FERRY.x + 1130 },
      (x) => y - 16 * Math.exp(-(((x - FERRY.x - 44) / 40) ** 2)) + 5 * (noise(x / 40, k, 71) - 0.5),
      (x) =>
        7.5 * ramp(0.3 + k * 0.1, 0.75, noise(x / 34 + k * 5, k, 72) + 0.4 * ramp(FERRY.x + 190, FERRY.x, x)),
    );
  }
  return `<path d="${white}" fill="#fff"/>`;
}

function stars() {
  const next = stream(8);
  let d = '';
  for (let i = 0; i < 95; i++) {
    const x = mix(FRAME.left + 20, FRAME.right - 20, next());
    const y = mix(FRAME.top + 14, 520, next() ** 1.3);
    const r = mix(8, 20, next() ** 3);
    if (far(x, y, MOON) < 250 || beam(x, y) > 0 || smoke(x, y) > 0) continue;
    const q = r * 0.2;
    d += `M${x},${y - r}L${x + q},${y - q} ${x + r},${y} ${x + q},${y + q} ${x},${y + r} ${x - q},${y + q} ${x - r},${y} ${x - q},${y - q}Z`;
  }
  return `<path d="${d}" fill="#fff"/>`;
}

function moon() {
  const { x, y, r } = MOON;
  const seas = repeat(9, (k) => {
    const at = y - 52 + k * 12;
    const half = Math.sqrt(r * r - (at - y) ** 2) - 12;
    return lineAcross(
      { fromPx: x - half, toPx: x + half },
      () => at,
      (px, py) => 9 * ramp(0.52, 0.66, clouds(px / 44 + 6, py / 40, 91, 3)),
    );
  });
  return `<circle cx="${x}" cy="${y}" r="${r}" fill="#fff" stroke="#000" stroke-width="5"/><path d="${seas}"/>`;
}

/** The same lines with more on their width: laid below in white, they keep rigging clear of the sky. */
const broader = (svg, by) =>
  svg.replace(
    / stroke="currentColor" stroke-width="([\d.]+)"/g,
    (_, width) => ` stroke="#fff" stroke-width="${Number(width) + by}"`,
  );

/** The key block as SVG: black on white, no shade between. */
export function keySvg() {
  const { left, top, right, bottom } = FRAME;
  const ship = `transform="translate(${FERRY.x} ${FERRY.y}) scale(${FERRY.scale})"`;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${KEY_SIZE.widthPx}" height="${KEY_SIZE.heightPx}">
    <rect width="100%" height="100%" fill="#fff"/>
    <clipPath id="view"><rect x="${left}" y="${top}" width="${right - left}" height="${bottom - top}"/></clipPath>
    <g clip-path="url(#view)">${sky()}${stars()}${moon()}${lighthouse()}${headland()}
      <rect x="${left}" y="${HORIZON}" width="2300" height="500" fill="#fff"/>${sea()}${harbour()}
      <g ${ship} color="#fff" fill="#fff" stroke="#fff" stroke-width="11" stroke-linejoin="round">${broader(ferryDark(), 6.5)}</g>
      <g ${ship} color="#000">${ferryDark()}</g><g ${ship} color="#fff" fill="#fff">${ferryLights()}${ferryTrim()}</g>
      ${wash()}${buoy()}</g>
    <rect x="${left}" y="${top}" width="${right - left}" height="${bottom - top}" fill="none" stroke="#000" stroke-width="9"/>
    <rect x="60" y="60" width="2280" height="1480" fill="none" stroke="#000" stroke-width="14"/>${title()}</svg>`;
}
