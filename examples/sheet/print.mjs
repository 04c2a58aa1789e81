import { getBit } from '../../dist/core/bitmap.js';
import { encodeSrgb } from '../../dist/core/srgb.js';
import { openEtchedShares } from '../../tests/metrics/etched.mjs';

/** How strongly an interval [from, to) and each whole place overlap; summed by `add`. */
function eachPlace(from, to, add) {
  for (let at = Math.floor(from); at < to; at++) add(at, Math.min(to, at + 1) - Math.max(from, at));
}

/** One axis averaged `step` places to one, what is left over dropped. */
function averaged(map, widthPx, step) {
  const wide = Math.floor(widthPx / step);
  const heightPx = map.length / widthPx;
  const out = new Float64Array(wide * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < wide; x++)
      eachPlace(x * step, (x + 1) * step, (at, part) => {
        out[y * wide + x] += (map[y * widthPx + Math.min(at, widthPx - 1)] * part) / step;
      });
  return out;
}

const turned = (map, widthPx) => {
  const heightPx = map.length / widthPx;
  return Float64Array.from(
    { length: map.length },
    (_, i) => map[(i % heightPx) * widthPx + Math.floor(i / heightPx)],
  );
};

/** A map of light 0 … 1 as sRGB greys, `step` pixels averaged to one along both sides. */
export function reduced(light, widthPx, step) {
  const across = averaged(light, widthPx, step);
  const wide = Math.floor(widthPx / step);
  const both = averaged(turned(across, wide), across.length / wide, step);
  const greys = turned(both, both.length / wide);
  return {
    widthPx: wide,
    greys: Uint8Array.from(greys, (value) => Math.round(255 * encodeSrgb(Math.min(1, value)))),
  };
}

/** What a plate prints as one sees it: its etched area black, the rest white, `step` pixels averaged in light to one. */
export function printOf(etch, spotPx, step) {
  const light = openEtchedShares(spotPx)(etch).map((etched) => 1 - etched);
  return reduced(light, etch.widthPx, step);
}

/** A plate with its fired pixels black, pixel by pixel. */
export const plateGreys = (etch) =>
  Uint8Array.from({ length: etch.widthPx * etch.heightPx }, (_, i) =>
    getBit(etch, i % etch.widthPx, Math.floor(i / etch.widthPx)) ? 0 : 255,
  );

/** Squares of a plate side by side, each pixel drawn `times` wide, a white gap between. */
export function enlarged(greys, widthPx, { sidePx, places }, times) {
  const gap = 2;
  const pitch = sidePx + gap;
  const wide = pitch * places.length - gap;
  const out = new Uint8Array(wide * times * sidePx * times);
  for (let y = 0; y < sidePx * times; y++)
    for (let x = 0; x < wide * times; x++) {
      const px = Math.floor(x / times);
      const { leftPx, topPx } = places[Math.floor(px / pitch)];
      const inX = px % pitch;
      const from = (topPx + Math.floor(y / times)) * widthPx + leftPx + inX;
      out[y * wide * times + x] = inX < sidePx ? greys[from] : 255;
    }
  return { widthPx: wide * times, greys: out };
}
