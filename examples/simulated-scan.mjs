/**
 * A scan of a print of a test plate, simulated: tones by a known curve, shapes by a known spread of the etched side,
 * uneven light, turned, mirrored, seen at an angle, blurred, noisy. Tints are flat; their screens are left out.
 */

const MM_PER_INCH = 25.4;

/** Mulberry32 by Tommy Ettinger (public domain; from memory): 0 … 1. */
export function dice(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const encode = (light) => (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);

/** Share of 0 … 1 of a pixel inside, from the distance to an edge in pixels (positive inside). */
const soft = (inside) => Math.min(1, Math.max(0, inside + 0.5));

/** A canvas of coverage over the plate. */
function canvas(widthMm, heightMm, pxPerMm) {
  const width = Math.ceil(widthMm * pxPerMm);
  const height = Math.ceil(heightMm * pxPerMm);
  const ink = new Float32Array(width * height);
  /** Lays a value over a box in mm by the share of each pixel that `shareOf` (pixel middle, mm) says is inside. */
  const draw = (left, top, right, bottom, value, shareOf) => {
    const x1 = Math.min(width, Math.ceil(right * pxPerMm) + 1);
    const y1 = Math.min(height, Math.ceil(bottom * pxPerMm) + 1);
    for (let y = Math.max(0, Math.floor(top * pxPerMm) - 1); y < y1; y++) {
      for (let x = Math.max(0, Math.floor(left * pxPerMm) - 1); x < x1; x++) {
        const share = shareOf((x + 0.5) / pxPerMm, (y + 0.5) / pxPerMm);
        const at = y * width + x;
        ink[at] += (value - ink[at]) * share;
      }
    }
  };
  const overlap = (from, to, middle) =>
    Math.max(0, Math.min(to, middle + 0.5 / pxPerMm) - Math.max(from, middle - 0.5 / pxPerMm)) * pxPerMm;
  const box = (left, top, right, bottom, value) => {
    if (right <= left || bottom <= top) return;
    draw(left, top, right, bottom, value, (x, y) => overlap(left, right, x) * overlap(top, bottom, y));
  };
  const disc = (x0, y0, radius, value) => {
    if (radius <= 0) return;
    draw(x0 - radius, y0 - radius, x0 + radius, y0 + radius, value, (x, y) =>
      soft((radius - Math.hypot(x - x0, y - y0)) * pxPerMm),
    );
  };
  const diagonal = (left, top, right, bottom, size, value) => {
    const [mx, my] = [(left + right) / 2, (top + bottom) / 2];
    if (size <= 0) return;
    draw(left, top, right, bottom, value, (x, y) => {
      const across = Math.abs(x - mx + (y - my)) / Math.SQRT2;
      return soft((size / 2 - across) * pxPerMm) * overlap(top, bottom, y);
    });
  };
  return { width, height, pxPerMm, ink, box, disc, diagonal };
}

/** Whether a shape came out, from limits in mm: what is finer than its limit is missing, pools above theirs are wiped. */
function printed({ zone, side, sizeMm }, limits) {
  if (zone === 'pools') return sizeMm <= (limits.maxPoolMm ?? Infinity);
  if (zone === 'gaps') return true;
  const [kept, etched] =
    zone === 'dots' ? [limits.minLandMm, limits.minMarkMm] : [limits.minWallMm, limits.minGapMm];
  return sizeMm >= (side === 'kept' ? (kept ?? 0) : (etched ?? 0));
}

function drawPlate(layout, pxPerMm, { gain, growthMm, limits }) {
  const plate = canvas(layout.widthMm, layout.heightMm, pxPerMm);
  const etchedIsInk = layout.process === 'intaglio';
  const solid = gain(1);
  for (const { xMm, yMm, widthMm, heightMm } of layout.grounds)
    plate.box(xMm, yMm, xMm + widthMm, yMm + heightMm, solid);
  for (const { xMm, yMm, widthMm, heightMm, share } of layout.patches)
    plate.box(xMm, yMm, xMm + widthMm, yMm + heightMm, gain(share));
  for (const { xMm, yMm, diameterMm, kind } of layout.fiducials) {
    plate.disc(xMm, yMm, diameterMm / 2, solid);
    if (kind === 'ring') plate.disc(xMm, yMm, diameterMm / 4, 0);
  }
  for (const feature of layout.features) {
    const { xMm, yMm, widthMm, heightMm, sizeMm, shape, side, direction } = feature;
    const dark = (side === 'etched') === etchedIsInk;
    if (!printed(feature, limits)) continue;
    const grow = side === 'etched' ? growthMm / 2 : -growthMm / 2;
    const [right, bottom, value] = [xMm + widthMm, yMm + heightMm, dark ? solid : 0];
    if (shape === 'disc') plate.disc(xMm + widthMm / 2, yMm + heightMm / 2, sizeMm / 2 + grow, value);
    else if (direction === 'diagonal') plate.diagonal(xMm, yMm, right, bottom, sizeMm + 2 * grow, value);
    else plate.box(xMm - grow, yMm - grow, right + grow, bottom + grow, value);
    // a roller dips into the middle of what is too wide for it
    if (shape === 'gap' && sizeMm > (limits.maxGapMm ?? Infinity))
      plate.box(
        xMm + 0.35 * widthMm,
        yMm + 0.3 * heightMm,
        right - 0.35 * widthMm,
        bottom - 0.4 * heightMm,
        0.6 * solid,
      );
  }
  for (const { axis, fromMm, lengthMm, stepMm } of layout.rulers) {
    for (let at = 0; at <= lengthMm + 1e-6; at += stepMm) {
      const [x, y] = axis === 'x' ? [fromMm.x + at, fromMm.y] : [fromMm.x, fromMm.y + at];
      if (axis === 'x') plate.box(x - 0.1, y, x + 0.1, y + 1, solid);
      else plate.box(x, y - 0.1, x + 1, y + 0.1, solid);
    }
  }
  return plate;
}

/** Product of two 3 × 3 matrices, row by row. */
const times = (a, b) =>
  Array.from({ length: 9 }, (_, i) => {
    const [row, column] = [Math.floor(i / 3) * 3, i % 3];
    return a[row] * b[column] + a[row + 1] * b[column + 3] + a[row + 2] * b[column + 6];
  });

/** Inverse of a 3 × 3 matrix but for its scale, by its adjoint. */
const adjoint = ([a, b, c, d, e, f, g, h, i]) => [
  e * i - f * h,
  c * h - b * i,
  b * f - c * e,
  f * g - d * i,
  a * i - c * g,
  c * d - a * f,
  d * h - e * g,
  b * g - a * h,
  a * e - b * d,
];

function blurred(light, width, height, sigmaPx) {
  const reach = Math.ceil(3 * sigmaPx);
  const taps = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigmaPx) ** 2));
  const sum = taps.reduce((a, b) => a + b);
  const weights = Float64Array.from(taps, (tap) => tap / sum);
  const across = new Float32Array(light.length);
  const padded = new Float32Array(width + 2 * reach);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    padded.set(light.subarray(row, row + width), reach);
    padded.fill(light[row], 0, reach);
    padded.fill(light[row + width - 1], width + reach);
    for (let x = 0; x < width; x++) {
      let value = 0;
      for (let k = 0; k <= 2 * reach; k++) value += weights[k] * padded[x + k];
      across[row + x] = value;
    }
  }
  light.fill(0);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    for (let k = -reach; k <= reach; k++) {
      const from = Math.min(height - 1, Math.max(0, y + k)) * width;
      const weight = weights[k + reach];
      for (let x = 0; x < width; x++) light[row + x] += weight * across[from + x];
    }
  }
}

/** Share inside a wedge around a place, and density there, for places of the scan in mm. */
function wedgeLight({ densities, stepMm, heightMm, angleDeg = 0, isReversed = false }, atX, atY, pxPerMm) {
  const turn = (angleDeg * Math.PI) / 180;
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  const half = (densities.length * stepMm) / 2;
  return (x, y) => {
    const along = (x - atX) * cos + (y - atY) * sin;
    const across = (y - atY) * cos - (x - atX) * sin;
    const inside = Math.min(half - Math.abs(along), heightMm / 2 - Math.abs(across));
    const step = Math.min(densities.length - 1, Math.max(0, Math.floor((along + half) / stepMm)));
    return [soft(inside * pxPerMm), densities[isReversed ? densities.length - 1 - step : step]];
  };
}

/** The usual print and scanner; everything can be set otherwise. */
export const USUAL = {
  ppi: 400,
  marginMm: 14,
  angleDeg: 0,
  mirrored: false,
  /** How much smaller the far side looks, as a share, along x and y. */
  perspective: { x: 0, y: 0 },
  /** Share asked for → share of the way from printed white to solid, in reflectance. */
  gain: (share) => share,
  solidDensity: 1.35,
  plateToneDensity: 0.04,
  growthMm: 0,
  limits: {},
  /** Coverage of the print drawn already, in place of that of the layout by `gain`, `growthMm` and `limits`. */
  plate: null,
  stretch: { x: 0, y: 0 },
  paperLight: 0.84,
  /** Most difference of the light over the scan, in density. */
  unevenDensity: 0,
  /** Density that wiping adds at one end of the plate and takes at the other. */
  wipingDensity: 0,
  blurPx: 0.7,
  noise: 0.003,
  dust: 40,
  dirtyEdges: true,
  /** Length in mm of a black strip laid beside the plate, at its own true size; null for none. */
  rulerMm: null,
  /**
   * A wedge of known densities laid beside the plate, above it in the scan: `densities` lightest first, `stepMm`,
   * `heightMm`, `angleDeg`, and `isReversed` for the darkest on the left; null for none.
   */
  wedge: null,
  /** Share of the brightest code that the scanner gives to a light of 0 … 1. */
  scannerCurve: encode,
  /** Stretched until paper is white and ink black, as scanners do on their own. */
  autoContrast: false,
  depthBits: 8,
  seed: 1,
};

/**
 * Scans a print of a plate of the layout. Gives codes (sRGB unless told) row by row, with what is true of it: the homography
 * from mm on the plate to pixels.
 */
export function simulatedScan(layout, given = {}) {
  const o = { ...USUAL, ...given };
  const roll = dice(o.seed);
  const pxPerMm = o.ppi / MM_PER_INCH;
  const plate = o.plate ?? drawPlate(layout, pxPerMm * 1.25, o);
  const { pxPerMm: platePxPerMm } = plate;
  const [w, h] = [layout.widthMm, layout.heightMm];
  const turn = (o.angleDeg * Math.PI) / 180;
  const room = Math.max(o.rulerMm === null ? 0 : 12, o.wedge === null ? 0 : o.wedge.heightMm + 8);
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  const spanX = Math.abs(w * cos) + Math.abs(h * sin) + 2 * o.marginMm + 2 * room;
  const spanY = Math.abs(w * sin) + Math.abs(h * cos) + 2 * o.marginMm + 2 * room;
  const width = Math.round(spanX * pxPerMm);
  const height = Math.round(spanY * pxPerMm);
  const flip = o.mirrored ? -1 : 1;
  const [ax, ay] = [flip * (1 + o.stretch.x), 1 + o.stretch.y];
  const middle = [1, 0, -w / 2, 0, 1, -h / 2, 0, 0, 1];
  const angle = [1, 0, 0, 0, 1, 0, o.perspective.x / w, o.perspective.y / h, 1];
  const placed = [
    pxPerMm * cos,
    -pxPerMm * sin,
    width / 2,
    pxPerMm * sin,
    pxPerMm * cos,
    height / 2,
    0,
    0,
    1,
  ];
  const sized = [ax, 0, 0, 0, ay, 0, 0, 0, 1];
  const toScan = times(placed, times(angle, times(sized, middle)));
  const toPlate = adjoint(toScan);

  const white = 10 ** -o.plateToneDensity;
  const solid = 10 ** -o.solidDensity;
  const light = new Float32Array(width * height);
  const tilt = roll() * 2 * Math.PI;
  const [tiltX, tiltY] = [Math.cos(tilt), Math.sin(tilt)];
  // The strip lies below or beside the plate along the scan, at its own true length
  const ruler =
    o.rulerMm === null
      ? null
      : {
          left: (spanX - o.rulerMm) / 2,
          right: (spanX + o.rulerMm) / 2,
          top: spanY - 11,
          bottom: spanY - 4,
        };
  const wedgeAt = o.wedge && wedgeLight(o.wedge, spanX / 2, 5 + o.wedge.heightMm / 2, pxPerMm);
  // Density of the light over the scan, a quadric; along a row its power of ten is three products
  const unevenAt = (x, y) => {
    const [lx, ly] = [x / width - 0.5, y / height - 0.5];
    return o.unevenDensity * (0.53 + 0.75 * (tiltX * lx + tiltY * ly) + 0.5 * (lx * lx + ly * ly));
  };
  const bend = 10 ** (-o.unevenDensity / (width * width));
  for (let y = 0; y < height; y++) {
    let lamp = o.paperLight * 10 ** -unevenAt(0, y);
    let dimming = 10 ** (unevenAt(0, y) - unevenAt(1, y));
    for (let x = 0; x < width; x++) {
      const [sx, sy] = [x + 0.5, y + 0.5];
      const z = toPlate[6] * sx + toPlate[7] * sy + toPlate[8];
      const px = (toPlate[0] * sx + toPlate[1] * sy + toPlate[2]) / z;
      const py = (toPlate[3] * sx + toPlate[4] * sy + toPlate[5]) / z;
      let value = 1;
      if (px > -1 && py > -1 && px < w + 1 && py < h + 1) {
        const u = Math.min(plate.width - 1.001, Math.max(0, px * platePxPerMm - 0.5));
        const v = Math.min(plate.height - 1.001, Math.max(0, py * platePxPerMm - 0.5));
        const at = Math.floor(v) * plate.width + Math.floor(u);
        const [fx, fy] = [u - Math.floor(u), v - Math.floor(v)];
        const ink =
          (plate.ink[at] * (1 - fx) + plate.ink[at + 1] * fx) * (1 - fy) +
          (plate.ink[at + plate.width] * (1 - fx) + plate.ink[at + plate.width + 1] * fx) * fy;
        const inside = px >= 0 && py >= 0 && px <= w && py <= h;
        if (inside) {
          value = white - ink * (white - solid);
          if (o.wipingDensity) value *= 10 ** (-o.wipingDensity * (px / w - 0.5) * Math.sqrt(ink));
        }
        const edge = Math.max(-px, px - w, -py, py - h);
        if (o.dirtyEdges && edge > -0.1 && edge < 0.4) value *= 0.45 + 0.25 * Math.sin(px * 3 + py * 2);
      }
      if (ruler) {
        const [mx, my] = [sx / pxPerMm, sy / pxPerMm];
        const inX = soft(Math.min(mx - ruler.left, ruler.right - mx) * pxPerMm);
        const inY = soft(Math.min(my - ruler.top, ruler.bottom - my) * pxPerMm);
        value += (0.05 - value) * inX * inY;
      }
      if (wedgeAt) {
        const [share, density] = wedgeAt(sx / pxPerMm, sy / pxPerMm);
        value += (10 ** -density / o.paperLight - value) * share;
      }
      light[y * width + x] = value * lamp;
      lamp *= dimming;
      dimming *= bend;
    }
  }
  for (let speck = 0; speck < o.dust; speck++) {
    const [x0, y0, radius] = [roll() * width, roll() * height, (0.05 + 0.2 * roll()) * pxPerMm];
    const value = roll() < 0.5 ? 0.1 : 0.8;
    for (let y = Math.max(0, Math.ceil(y0 - radius)); y < Math.min(height, y0 + radius); y++) {
      for (let x = Math.max(0, Math.ceil(x0 - radius)); x < Math.min(width, x0 + radius); x++) {
        if (Math.hypot(x - x0, y - y0) < radius) light[y * width + x] = value;
      }
    }
  }
  if (o.blurPx > 0) blurred(light, width, height, o.blurPx);
  const most = 2 ** o.depthBits - 1;
  const codes = o.depthBits === 8 ? new Uint8Array(light.length) : new Uint16Array(light.length);
  // As many draws as pixels would take most of the time; a long table entered anew in every row will do
  const normals = Float32Array.from(
    { length: 1 << 16 },
    () => o.noise * (roll() + roll() + roll() + roll() - 2) * Math.sqrt(3),
  );
  const table = Float32Array.from({ length: 4097 }, (_, i) => o.scannerCurve(i / 4096));
  const [low, high] = o.autoContrast ? [0.09, 0.72] : [0, 1];
  let draw = 0;
  for (let i = 0; i < light.length; i++) {
    if (i % width === 0) draw = Math.floor(roll() * normals.length);
    const seen = (light[i] + normals[draw++ & 0xffff] - low) / (high - low);
    const place = Math.min(1, Math.max(0, seen)) * 4096;
    const at = Math.min(4095, Math.floor(place));
    codes[i] = Math.round((table[at] + (table[at + 1] - table[at]) * (place - at)) * most);
  }
  return { codes, widthPx: width, heightPx: height, toScan };
}
