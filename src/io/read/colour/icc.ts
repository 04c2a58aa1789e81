import { encodeSrgb } from '../../../core/srgb.ts';
import { latin1 } from '../bytes.ts';
import type { CodeCurve } from '../reader.ts';

const textDecoder = new TextDecoder('utf-16be');
const unnamed = 'unnamed profile';
const headerBytes = 128;
const mostTags = 100;

const viewOf = (profile: Uint8Array) => new DataView(profile.buffer, profile.byteOffset, profile.byteLength);

/** Where the data of a tag start (ICC.1:2022, 7.3); null where there is none. */
function tagAt(view: DataView, name: string): number | null {
  if (view.byteLength < headerBytes + 4) return null;
  const count = Math.min(view.getUint32(headerBytes), mostTags);
  for (let tag = 0; tag < count; tag++) {
    const at = headerBytes + 4 + tag * 12;
    if (at + 12 > view.byteLength) return null;
    if (latin1(view, at, 4) === name) return view.getUint32(at + 4);
  }
  return null;
}

/** The colours a profile is for: `RGB `, `GRAY`, `CMYK` … (ICC.1:2022, 7.2.8); null for what is no whole profile. */
export function profileSpace(profile: Uint8Array): string | null {
  const view = viewOf(profile);
  if (view.byteLength < headerBytes + 4 || latin1(view, 36, 4) !== 'acsp') return null;
  return view.getUint32(0) > view.byteLength ? null : latin1(view, 16, 4);
}

const tables = ['mft1', 'mft2', 'mAB '];
const curves = ['curv', 'para'];

/**
 * True where a profile has the parts that its kind of colours needs (ICC.1:2022, 8.3 to 8.5). The picture library
 * leaves a profile without them unused and says nothing.
 */
export function isComplete(profile: Uint8Array, space: string): boolean {
  const view = viewOf(profile);
  const holds = (name: string, types: readonly string[]) => {
    const at = tagAt(view, name);
    return at !== null && at + 8 <= view.byteLength && types.includes(latin1(view, at, 4));
  };
  if (['A2B0', 'A2B1', 'A2B2'].some((name) => holds(name, tables))) return true;
  if (space === 'CMYK') return false;
  return [...'rgb'].every((colour) => holds(`${colour}XYZ`, ['XYZ ']) && holds(`${colour}TRC`, curves));
}

/** The description an ICC profile gives itself (ICC.1:2022, 9.2.41; ICC.1:2001-04, 6.5.17 for version 2). */
export function profileName(profile: Uint8Array): string {
  const view = viewOf(profile);
  const at = tagAt(view, 'desc');
  return (at !== null && describedAt(view, at)) || unnamed;
}

function describedAt(view: DataView, at: number): string {
  if (at + 28 > view.byteLength) return '';
  const type = latin1(view, at, 4);
  if (type === 'desc') return printable(latin1(view, at + 12, Math.min(view.getUint32(at + 8), 200)));
  if (type !== 'mluc') return '';
  const length = Math.min(view.getUint32(at + 20), 400);
  const start = at + view.getUint32(at + 24);
  if (start + length > view.byteLength) return '';
  return printable(textDecoder.decode(new Uint8Array(view.buffer, view.byteOffset + start, length)));
}

const printable = (text: string): string => text.replace(/\p{C}/gu, '').trim();

/**
 * The tone curve of a grey profile as a table from sample code to sRGB code; null where the profile has none
 * we can read. The picture library rounds dark codes of such profiles to 8 bit and leaves 16-bit ones as they are.
 */
export function greyProfileCurve(profile: Uint8Array, codes: 256 | 65536): CodeCurve | null {
  const view = viewOf(profile);
  const at = tagAt(view, 'kTRC');
  const light = at === null || at + 12 > view.byteLength ? null : lightCurve(view, at);
  return light && codeCurve(light, codes);
}

/** A table from sample code to sRGB code for samples that mean `light(v)` of full light at v = 0 … 1. */
export function codeCurve(light: (v: number) => number, codes: 256 | 65536): CodeCurve {
  const curve = new Uint16Array(codes);
  for (let code = 0; code < codes; code++) {
    curve[code] = Math.round(65535 * encodeSrgb(Math.min(1, Math.max(0, light(code / (codes - 1))))));
  }
  return curve;
}

/** ICC.1:2022, 10.6 curveType and 10.18 parametricCurveType. */
function lightCurve(view: DataView, at: number): ((v: number) => number) | null {
  const type = latin1(view, at, 4);
  if (type === 'curv') return sampledCurve(view, at);
  if (type !== 'para') return null;
  const kind = view.getUint16(at + 8);
  const count = [1, 3, 4, 5, 7][kind];
  if (count === undefined || at + 12 + count * 4 > view.byteLength) return null;
  const p = Array.from({ length: count }, (_, index) => view.getInt32(at + 12 + index * 4) / 65536);
  const [g, a, b, c, d, e, f] = [p[0]!, p[1] ?? 1, p[2] ?? 0, p[3] ?? 0, p[4] ?? 0, p[5] ?? 0, p[6] ?? 0];
  switch (kind) {
    case 0:
      return (v) => v ** g;
    case 1:
      return (v) => (v >= -b / a ? (a * v + b) ** g : 0);
    case 2:
      return (v) => (v >= -b / a ? (a * v + b) ** g + c : c);
    case 3:
      return (v) => (v >= d ? (a * v + b) ** g : c * v);
    default:
      return (v) => (v >= d ? (a * v + b) ** g + e : c * v + f);
  }
}

function sampledCurve(view: DataView, at: number): ((v: number) => number) | null {
  const count = view.getUint32(at + 8);
  if (at + 12 + count * 2 > view.byteLength) return null;
  if (count === 0) return (v) => v;
  if (count === 1) {
    const gamma = view.getUint16(at + 12) / 256;
    return (v) => v ** gamma;
  }
  const knot = (index: number) => view.getUint16(at + 12 + Math.min(index, count - 1) * 2) / 65535;
  return (v) => {
    const place = v * (count - 1);
    const below = Math.floor(place);
    return knot(below) + (place - below) * (knot(below + 1) - knot(below));
  };
}
