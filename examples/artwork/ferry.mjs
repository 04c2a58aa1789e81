/**
 * The steamer *Ennerby*, invented: side view, bow to the left, 1000 units long, waterline at y 0, up is negative.
 * Two drawings on top of each other: what is dark, and what is lit or painted white.
 */
const box = (x, y, width, height, round = 0) =>
  `<rect x="${x}" y="${y}" width="${width}" height="${height}" rx="${round}"/>`;
const line = (width, d) => `<path d="${d}" fill="none" stroke="currentColor" stroke-width="${width}"/>`;
const row = (count, from, pitch, draw) =>
  Array.from({ length: count }, (_, i) => draw(from + i * pitch)).join('');

/** Height of the deck at x: the sheer of the hull. */
const deckY = (x) => -122 + 118 * (x / 985) - 98 * (x / 985) ** 2 + 2;

const HULL = 'M52,14 Q40,-50 16,-124 Q400,-54 985,-102 Q985,-52 915,-26 L900,14 Z';
const FUNNEL = 'M512,-188 L530,-338 L592,-338 L582,-188 Z';

const lifeboat = (x) => `<path d="M${x},-224 q4,24 22,24 h46 q20,0 26,-24 q-46,10 -94,0 Z"/>
  ${line(4, `M${x + 14},-192 V-232 q0,-12 10,-12 M${x + 80},-192 V-232 q0,-12 -10,-12`)}`;
const cowl = (x) => `<path d="M${x},-190 v-34 q-2,-16 -16,-18 v18 q6,2 6,10 v24 Z"/>`;
const stanchions = (from, to, pitch, y, height) =>
  row(Math.floor((to - from) / pitch) + 1, from, pitch, (x) => line(2.5, `M${x},${y} v${-height}`));

const masts =
  () => `<path d="M210,-100 L219,-398 L223,-398 L222,-100 Z M846,-95 L857,-356 L861,-356 L858,-95 Z"/>
  ${line(4, 'M180,-330 L262,-322 M222,-150 L300,-290')}
  ${line(2.9, 'M221,-396 L18,-130 M221,-340 L120,-112 M221,-396 L859,-354 M859,-354 L984,-106 M221,-380 L345,-240')}
  ${line(2.7, 'M221,-320 L172,-106 M221,-320 L188,-105 M221,-320 L250,-96 M221,-320 L268,-95')}
  ${line(2.2, 'M859,-300 L812,-90 M859,-300 L828,-90 M859,-300 L890,-95 M859,-300 L906,-96')}
  ${line(2.3, 'M180,-140 h80 M185,-165 h66 M191,-190 h54 M197,-215 h44 M203,-240 h34 M817,-120 h80 M823,-150 h68 M830,-180 h54 M838,-210 h40')}`;

const flag = () => `${line(3, 'M978,-100 L1000,-190')}
  <path d="M1000,-188 q22,10 40,0 q18,-9 36,0 l-4,36 q-18,-8 -36,2 q-20,9 -44,-2 Z"/>`;

/** Everything dark: fills and lines in the current colour. */
export const ferryDark = () => `<path d="${HULL}"/>
  ${box(262, -146, 560, 66)}${box(228, -152, 622, 9, 3)}${box(322, -196, 420, 50)}${box(296, -202, 470, 8, 3)}
  ${box(336, -246, 104, 50)}${box(326, -254, 122, 9, 3)}${box(300, -214, 40, 14)}
  <path d="${FUNNEL}"/>${box(522, -346, 78, 10, 3)}${line(5, 'M606,-190 L612,-318')}${line(4, 'M606,-318 h12')}
  ${lifeboat(630)}${cowl(500)}${cowl(470)}${masts()}${flag()}
  ${stanchions(232, 258, 13, -100, 48)}${stanchions(826, 848, 11, -98, 50)}
  ${line(2.5, 'M24,-140 Q120,-118 228,-104 M850,-112 Q910,-114 978,-122')}
  ${row(12, 40, 17, (x) => line(2.2, `M${x},${deckY(x) - 14} v22`))}${row(8, 858, 16, (x) => line(2.2, `M${x},-113 v22`))}
  ${line(2.2, 'M232,-170 H322 M742,-170 H846')}${stanchions(234, 320, 14, -150, 20)}${stanchions(746, 846, 14, -150, 20)}
  ${line(2, 'M442,-214 H500 M734,-214 H764')}${stanchions(446, 500, 13, -200, 14)}`;

/** Lit windows and lamps. */
export const ferryLights =
  () => `${row(17, 282, 31, (x) => (x > 690 && x < 720 ? '' : box(x, -130, 18, 24, 4)))}
  ${row(11, 346, 35, (x) => (x > 480 && x < 530 ? '' : box(x, -184, 22, 26, 4)))}
  ${row(4, 345, 24, (x) => box(x, -238, 16, 22, 2))}
  ${row(19, 150, 36, (x) => `<circle cx="${x}" cy="-44" r="6"/>`)}
  <circle cx="222" cy="-352" r="8"/><circle cx="860" cy="-316" r="7"/><circle cx="20" cy="-146" r="6"/>`;

/** Painted white: the sheer line, the water line, a band on the funnel, boats and gunwales. */
export const ferryTrim = () => `${line(4, 'M26,-108 Q410,-40 982,-87')}
  <path d="M523,-286 L526,-312 L588,-312 L586,-286 Z"/>
  ${line(2.4, 'M634,-216 q46,9 86,0')}${line(3, 'M322,-149 H742 M336,-200 H440')}`;

/** Lamps that throw a light of their own, for glows and reflections. */
export const FERRY_LAMPS = [
  { x: 222, y: -352, strength: 1 },
  { x: 860, y: -316, strength: 0.8 },
  { x: 20, y: -146, strength: 0.7 },
];
export const FUNNEL_TOP = { x: 562, y: -346 };
