import { profileNotUsed } from '../cautions.ts';
import type { PictureCaution } from '../facts.ts';
import type { LibraryHeader } from '../library/decoder.ts';
import type { CodeCurve } from '../reader.ts';
import { codeCurve, greyProfileCurve, isComplete, profileSpace } from './icc.ts';

/** Who does what on the way to grey: the picture library, and, where it is not exact, our own loop after it. */
export interface ColourPlan {
  readonly depthBits: 8 | 16;
  /** What the library is asked for; one grey band if nothing of ours follows. */
  readonly space: 'b-w' | 'grey16' | 'srgb' | 'rgb16';
  /** True where transparency is left for our loop. */
  readonly keepsAlpha: boolean;
  readonly ignoreProfile: boolean;
  /** True where the library works in a wider space and must come back to sRGB (16-bit RGB through a profile). */
  readonly toSrgb: boolean;
  readonly curve: CodeCurve | null;
  readonly bytesPerPixel: number;
  readonly cautions: readonly PictureCaution[];
}

/** Plans the way to grey, or to colours, for a picture with this header, PNG gamma and (declared) transparency. */
export function planColour(
  header: LibraryHeader,
  gamma: number | null,
  alpha: boolean,
  colour = false,
): ColourPlan {
  const wide = header.depth === 'ushort' && header.space !== 'cmyk';
  const grey = header.space === 'b-w' || header.space === 'grey16';
  const codes = header.depth === 'ushort' ? 65536 : 256;
  const profile = planProfile(header, grey, wide, codes);
  const curve = profile.curve ?? gammaCurve(gamma, codes) ?? fullCurve(header);
  const toSrgb = wide && !grey && !profile.ignore && header.icc !== undefined;
  const ours = colour || curve !== null || toSrgb || (wide && alpha);
  const bands = ours ? (grey ? 1 : 3) + (alpha ? 1 : 0) : 1;
  return {
    depthBits: wide ? 16 : 8,
    space: grey || !ours ? (wide ? 'grey16' : 'b-w') : wide ? 'rgb16' : 'srgb',
    keepsAlpha: ours,
    ignoreProfile: profile.ignore,
    toSrgb,
    curve,
    bytesPerPixel: (wide ? 2 : 1) * (bands + (ours ? 1 : 0)),
    cautions: profile.cautions,
  };
}

interface ProfilePlan {
  readonly ignore: boolean;
  readonly curve: CodeCurve | null;
  readonly cautions: readonly PictureCaution[];
}

function planProfile(header: LibraryHeader, grey: boolean, wide: boolean, codes: 256 | 65536): ProfilePlan {
  const { icc, space } = header;
  const unused = (why: string): ProfilePlan => ({
    ignore: true,
    curve: null,
    cautions: [profileNotUsed(why)],
  });
  const used: ProfilePlan = { ignore: false, curve: null, cautions: [] };
  if (!icc) return used;
  const made = profileSpace(icc)?.trim();
  if (made === undefined) return unused('it is damaged');
  const wanted = grey ? 'GRAY' : space === 'cmyk' ? 'CMYK' : space.startsWith('lab') ? 'Lab' : 'RGB';
  if (made !== wanted) return unused(`it is for ${made} pictures`);
  if (!grey) return wanted === 'Lab' || isComplete(icc, made) ? used : unused('parts of it are missing');
  const curve = greyProfileCurve(icc, codes);
  if (curve) return { ignore: true, curve: isPlain(curve) ? null : curve, cautions: [] };
  return wide ? unused('a 16-bit grey picture needs one with a tone curve') : used;
}

/** True where the curve leaves every code within a quarter of an 8-bit one, as a profile of sRGB's own curve does. */
const isPlain = (curve: CodeCurve): boolean =>
  curve.every((code, index) => Math.abs(code - (index * 65535) / (curve.length - 1)) < 64);

/**
 * The library moves the 10 or 12 bits of an AVIF picture up and leaves noughts below, so that white
 * would fall short of 65,535.
 */
function fullCurve({ format, depth, bitsPerSample = 16 }: LibraryHeader): CodeCurve | null {
  if (format !== 'heif' || depth !== 'ushort' || bitsPerSample >= 16) return null;
  const top = 65536 - 2 ** (16 - bitsPerSample);
  return Uint16Array.from({ length: 65536 }, (_, code) => Math.min(65535, Math.round((code * 65535) / top)));
}

// What writers of sRGB state: 0.45455. Within 5 % of it gamma is not handled, as the PNG reference library does.
const srgbGamma = 1 / 2.2;

function gammaCurve(gamma: number | null, codes: 256 | 65536): CodeCurve | null {
  if (gamma === null || Math.abs(gamma / srgbGamma - 1) < 0.05) return null;
  return codeCurve((v) => v ** (1 / gamma), codes);
}
