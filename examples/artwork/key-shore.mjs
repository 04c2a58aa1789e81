import { clouds, mix, noise, ramp, stream } from './noise.mjs';
import { lineAcross, repeat } from './swelled.mjs';

/** 240 × 160 mm at ten pixels a millimetre. */
export const KEY_SIZE = { widthPx: 2400, heightPx: 1600 };
export const FRAME = { left: 90, top: 90, right: 2310, bottom: 1236 };
export const HORIZON = 760;
export const LIGHT = { x: 2020, y: 322 };
export const QUAY_LAMPS = [1566, 1612, 1658, 1704].map((x) => ({ x, y: 698 }));

const headTop = (x) => {
  const rise = ramp(1690, 2080, x) * 128 + ramp(2080, 2330, x) * 46;
  return x < 1690 ? 9999 : 724 - rise - 16 * (clouds(x / 50, 3, 43, 4) - 0.5);
};

export function headland() {
  let edge = `M1690,${HORIZON + 6}`;
  for (let x = 1690; x <= FRAME.right; x += 6) edge += `L${x},${headTop(x).toFixed(1)}`;
  const grass = repeat(9, (k) =>
    lineAcross(
      { fromPx: 1720 + k * 14, toPx: FRAME.right },
      (x) => headTop(x) + 12 + (HORIZON - headTop(x)) * (k / 9.5) + 3 * Math.sin(x / 17 + k),
      (x, y) => (y > HORIZON - 8 ? 0 : 6.5 * ramp(0.5, 0.68, noise(x / 38 + k * 3, k, 44))),
    ),
  );
  return `<path d="${edge}L${FRAME.right},${HORIZON + 6}Z"/><path d="${grass}" fill="#fff"/>`;
}

export function lighthouse() {
  const { x, y } = LIGHT;
  const foot = headTop(x) + 14;
  const half = (at) => mix(23, 44, (at - y - 40) / (foot - y - 40));
  const shade = repeat(Math.floor((foot - y - 60) / 9), (k) => {
    const at = y + 58 + k * 9;
    return `M${x + half(at)},${at}h${-half(at) * 0.95}l${half(at) * 0.5},4h${half(at) * 0.45}Z`;
  });
  const band = (from, to) =>
    `M${x - half(from)},${from}H${x + half(from)}L${x + half(to)},${to}H${x - half(to)}Z`;
  return `<path d="${band(y + 40, foot)}" fill="#fff" stroke="#000" stroke-width="6"/><path d="${shade}"/>
    <path d="${band(y + 96, y + 146)}${band(y + 206, foot)}"/><path d="M${x - 5},${y + 168}h10v22h-10Z M${x - 5},${y + 66}h10v18h-10Z"/>
    <path d="M${x - 38},${y + 34}h76v9h-76Z M${x - 24},${y - 26}h48v-7h-48Z M${x - 24},${y - 32}Q${x},${y - 62} ${x + 24},${y - 32}Z M${x - 2.5},${y - 48}h5v-26h-5Z"/>
    <path d="M${x - 19},${y - 26}v60h38v-60Z" fill="#fff"/>
    <path d="M${x - 20},${y - 26}v60M${x + 20},${y - 26}v60M${x - 7},${y - 26}v60M${x + 7},${y - 26}v60M${x - 36},${y + 18}v18M${x + 36},${y + 18}v18M${x - 36},${y + 18}h16M${x + 20},${y + 18}h16" fill="none" stroke="#000" stroke-width="3.5"/>
    <circle cx="${x}" cy="${y + 4}" r="10" fill="#fff" stroke="#000" stroke-width="3"/>`;
}

export function harbour() {
  const next = stream(14);
  let dark = `M1540,${HORIZON + 9}v-23h440v23Z`;
  let lit = '';
  for (let x = 1736; x < 1985; ) {
    const width = mix(34, 58, next());
    const wall = mix(24, 52, next());
    const roof = width * 0.42;
    const base = HORIZON - 12 - ramp(1740, 1960, x) * 30;
    dark += `M${x},${HORIZON + 9}V${base - wall}l${width / 2},${-roof} ${width / 2},${roof}V${HORIZON + 9}Z`;
    dark += `M${x + width * 0.7},${base - wall}v${-roof - 6}h7v${roof + 6}Z`;
    for (const at of [0.22, 0.62]) if (next() > 0.25) lit += `M${x + width * at},${base - wall + 9}h8v11h-8Z`;
    x += width + 5;
  }
  const posts = QUAY_LAMPS.map(
    ({ x, y }) => `<path d="M${x - 2.5},${y + 6}h5V${HORIZON - 12}h-5Z M${x - 11},${y - 9}h22l-6,-9h-10Z"/>
      <circle cx="${x}" cy="${y}" r="9" fill="#fff" stroke="#000" stroke-width="3.5"/>`,
  );
  return `<path d="${dark}" stroke="#fff" stroke-width="6" paint-order="stroke"/><path d="${lit}" fill="#fff"/>${posts.join('')}`;
}

export function buoy() {
  return `<g transform="translate(1930 1120) rotate(9)"><path d="M-64,8Q-50,-24 0,-24T64,8Q0,34 -64,8Z M-34,-22L-12,-128H12L34,-22Z" stroke="#fff" stroke-width="12" paint-order="stroke"/>
    <path d="M-20,-34L-5,-112H5L20,-34Z M-54,0Q0,-16 54,0L50,4Q0,-10 -50,4Z" fill="#fff"/>
    <path d="M-22,-60L12,-112M22,-60L-12,-112M-26,-40H26M-16,-80H16" stroke="#000" stroke-width="5" fill="none"/>
    <path d="M-11,-66q0,-18 11,-18t11,18l5,8h-32Z M-17,-128h34v-9h-34Z"/><circle cy="-150" r="13" fill="#fff" stroke="#000" stroke-width="6"/></g>`;
}
