import { etchedSurface, openEtchedShares } from '../../metrics/etched.mjs';
import { nasanen, pxPerDegree } from '../../metrics/eye.mjs';
import { edgeFigure, hpsnr } from '../../metrics/fidelity.mjs';
import { powerSpectrum, radialSpectrum, strongestSector, visibleNoise } from '../../metrics/spectrum.mjs';
import { thinLandShare } from '../../metrics/thin.mjs';
import { SIDE_PX } from './pictures.mjs';
import { FULL_TONE, openPlates } from './plates.mjs';
import { DISTANCE_MM, DPI } from './rows.mjs';

/** A print in room light, in cd/m². */
const eye = nasanen(100);
const perDegree = pxPerDegree(DPI, DISTANCE_MM);

const LEVELS = 255;
/** Patches are measured inside this margin: near an edge no marks come in from beyond it. */
const MARGIN_PX = 8;
const PATCH_PX = 512;
const WINDOW_PX = 256;
/** Tones whose pattern is looked at, in per cent. */
const PATTERN_PERCENT = [5, 10, 20, 30, 40, 50, 60, 70, 80, 90];
const START = { level: 2, widthPx: 2048, rows: 64 };
/** Black of a picture of tone, as an intaglio plate is given it. */
const CAP = 0.8;
/** Places to a pixel of the surface on which widths are judged. */
const FINE = 4;

const mean = (values) => values.reduce((a, b) => a + b, 0) / values.length;

/** The inner square of a map, `side` pixels, as a map of its own. */
function inner(map, widthPx, side) {
  const cut = new Float32Array(side * side);
  for (let y = 0; y < side; y++) {
    const from = (y + MARGIN_PX) * widthPx + MARGIN_PX;
    cut.set(map.subarray(from, from + side), y * side);
  }
  return cut;
}

/**
 * Tone error of the 256 flat tones, in points, the patterns of some of them, and the thin land of the worst of these. Tones
 * darker than a solid etches do not count.
 */
function measureFlats(plates, shares, { spotPx, solid }) {
  const widthPx = PATCH_PX + 2 * MARGIN_PX;
  const etched = (tone) => plates.etch(widthPx, widthPx, (_, row) => row.fill(Math.round(tone * FULL_TONE)));
  const patch = (tone) => inner(shares(etched(tone)), widthPx, PATCH_PX);
  const errors = [];
  for (let level = 0; level <= LEVELS && level / LEVELS <= solid; level++)
    errors.push(100 * Math.abs(mean(patch(level / LEVELS)) - level / LEVELS));
  const tones = PATTERN_PERCENT.map((percent) => percent / 100).filter((tone) => tone <= solid);
  const spectra = tones.map((tone) => powerSpectrum(patch(tone), PATCH_PX, WINDOW_PX));
  const thin = tones.map((tone) => thinShare(etched(tone), spotPx, MARGIN_PX));
  const noise = spectra.map((spectrum) => 100 * visibleNoise(spectrum, eye, perDegree));
  // a tone of which nothing is left unetched, or nothing etched, has no pattern
  const patterned = spectra.filter(({ variance }) => variance > 1e-6);
  return {
    flatMean: mean(errors),
    flat: Math.max(...errors),
    noiseMean: mean(noise),
    noise: Math.max(...noise),
    thinFlats: Math.max(...thin),
    sector: Math.max(...patterned.map(strongestSector)),
    ...radialFigures(patterned),
  };
}

/** Anisotropy above that of noise without a direction, in dB, and the size at which most power lies at half tone, in µm. */
function radialFigures(spectra) {
  const above = spectra.map((spectrum) => {
    const radial = radialSpectrum(spectrum).filter(({ power }) => power > 1e-9);
    return mean(radial.map(({ anisotropyDb }) => anisotropyDb)) + 10 * Math.log10(spectrum.windows);
  });
  const half = radialSpectrum(spectra[PATTERN_PERCENT.indexOf(50)] ?? spectra[0]);
  const peak = half.reduce((a, b) => (b.power > a.power ? b : a));
  return { anisotropyDb: mean(above), sizeUm: 25400 / DPI / peak.cyclesPerPx };
}

/** Etched share of the first rows of a very light tint, in per cent of what it should be. */
function measureStart(plates, shares) {
  const { level, widthPx, rows } = START;
  const tone = level / LEVELS;
  const heightPx = rows + MARGIN_PX;
  const map = shares(plates.etch(widthPx, heightPx, (_, row) => row.fill(Math.round(tone * FULL_TONE))));
  return (100 * mean(map.subarray(0, rows * widthPx))) / tone;
}

/** Land narrower than the spot on the etched surface, in per cent of the land that lies `marginPx` from the edges. */
function thinShare(etch, spotPx, marginPx) {
  const surface = etchedSurface(etch, spotPx, FINE);
  return 100 * thinLandShare(surface, etch.widthPx * FINE, Math.round(spotPx * FINE), marginPx * FINE);
}

function measurePicture({ at, isTone }, plates, shares, { spotPx, solid }) {
  const cap = Math.min(solid, isTone ? CAP : 1);
  const asked = at(plates.shiftPx);
  const etch = plates.etch(SIDE_PX, SIDE_PX, (y, row) => {
    for (let x = 0; x < SIDE_PX; x++) row[x] = Math.round(asked[y * SIDE_PX + x] * cap * FULL_TONE);
  });
  const wanted = at({ x: 0, y: 0 }).map((ink) => ink * cap);
  const printed = shares(etch);
  return {
    error: 100 * (mean(printed) - mean(wanted)),
    hpsnr: hpsnr(wanted, printed, eye, perDegree),
    edge: edgeFigure(wanted, printed, SIDE_PX),
    thin: thinShare(etch, spotPx, 0),
  };
}

/**
 * All figures of one screen at one spot; tones and lands in points and per cent. Line art screens are measured on line art
 * alone. An EtchError of the screen, which cannot do it at this spot, comes back as `refused`.
 */
export function measureScreen(screen, spotPx, pictures) {
  try {
    const plates = openPlates(screen, spotPx);
    const shares = openEtchedShares(spotPx);
    // a spot of one pixel leaves the corners of all pixels
    const solid = Math.min(1, shares(solidPatch())[4]);
    const { forLineArt } = screen.def;
    const tones = forLineArt ? {} : measureFlats(plates, shares, { spotPx, solid });
    const start = forLineArt ? undefined : measureStart(plates, shares);
    const drawn = pictures
      .filter(({ isTone }) => !(isTone && forLineArt))
      .map((picture) => [picture.name, measurePicture(picture, plates, shares, { spotPx, solid })]);
    return { ...tones, start, pictures: Object.fromEntries(drawn) };
  } catch (error) {
    if (error?.name !== 'EtchError') throw error;
    return { refused: error.message, pictures: {} };
  }
}

/** Three by three fired pixels; the middle one shows what a solid etches. */
const solidPatch = () => ({ widthPx: 3, heightPx: 3, strideBytes: 1, data: new Uint8Array(3).fill(0xe0) });

/** White noise through the same figures: power over variance (theory 1) and anisotropy (theory 0 dB above noise). */
export function controlFigures(random) {
  const noise = Float32Array.from({ length: PATCH_PX * PATCH_PX }, () => (random() < 0.25 ? 1 : 0));
  const spectrum = powerSpectrum(noise, PATCH_PX, WINDOW_PX);
  return {
    power: mean(radialSpectrum(spectrum).map(({ power }) => power)),
    anisotropyDb: radialFigures([spectrum]).anisotropyDb,
    sector: strongestSector(spectrum),
  };
}
