import { describe, expect, it } from 'vitest';
import { fnv1a } from '../../../src/core/testplate/fnv.ts';
import { layoutId, parseTestPlate, type UnnamedLayout } from '../../../src/core/testplate/layout.ts';

const bare: UnnamedLayout = {
  schema: 'etchwright/testplate',
  version: 1,
  process: 'relief',
  widthMm: 150,
  heightMm: 100,
  dpi: 500,
  spotMm: null,
  beam: null,
  screen: { kind: 'bayer', params: {} },
  fiducials: [{ xMm: 5, yMm: 5, diameterMm: 4, kind: 'ring' }],
  patches: [],
  features: [],
  rulers: [],
  stars: [],
  type: [],
  strip: null,
  ladder: [],
  paperZones: [],
  grounds: [],
  labels: [],
  leftOut: [],
};

const codeOf = (value: unknown): [string, string] => {
  try {
    parseTestPlate(value);
  } catch (error) {
    return [(error as { code: string }).code, (error as Error).message];
  }
  return ['', ''];
};

describe('FNV-1a', () => {
  // test vectors of the authors' own list, from memory
  it.each([
    ['', '811c9dc5'],
    ['a', 'e40c292c'],
    ['foobar', 'bf9cf968'],
  ])('of %j', (text, hash) => expect(fnv1a(text)).toBe(hash));
});

describe('layout of a test plate', () => {
  it('comes back from JSON as it went', () => {
    const layout = { ...bare, id: layoutId(bare) };
    expect(parseTestPlate(JSON.parse(JSON.stringify(layout)))).toEqual(layout);
  });

  it('has another id as soon as anything differs', () => {
    expect(layoutId({ ...bare, widthMm: 151 })).not.toBe(layoutId(bare));
    expect(layoutId(bare)).toMatch(/^[0-9a-f]{8}$/);
  });

  it('says what is wrong and where', () => {
    expect(codeOf([])).toEqual(['testplate-not-valid', expect.stringContaining('etchwright/testplate')]);
    expect(codeOf({ ...bare, version: 2 })[0]).toBe('testplate-version');
    const wrong = { ...bare, id: '00000000', fiducials: [{ ...bare.fiducials[0], diameterMm: -1 }] };
    expect(codeOf(wrong)).toEqual(['testplate-not-valid', expect.stringContaining('fiducials.0.diameterMm')]);
  });
});
