import { describe, expect, test } from 'vitest';
import type { MaterialDef } from '../../../src/core/materials/contract.ts';
import { materials } from '../../../src/core/materials/index.ts';
import { judgeMaterial } from '../../../src/core/materials/judge.ts';
import { processes } from '../../../src/core/processes/index.ts';

const all: MaterialDef[] = Object.values(materials);
const never = all.filter(({ status }) => status === 'never');
const others = all.filter(({ status }) => status !== 'never');
const plural = (name: string): string => (/s$/i.test(name) ? name : `${name}s`);
const namesOf = ({ kind, names, disguises }: MaterialDef): string[] => [kind, ...names, ...disguises];

describe('the never-list', () => {
  test.each(never.map((material) => [material.kind, material] as const))(
    '%s is refused by every name',
    (_, def) => {
      for (const name of namesOf(def)) {
        for (const wavelengthUm of [null, 10.6, 1.064, 0.455]) {
          for (const text of [
            name,
            name.toUpperCase(),
            `3mm ${name}, white`,
            name.replaceAll(' ', '-'),
            plural(name),
          ]) {
            expect(judgeMaterial(text, wavelengthUm).verdict, `${text} at ${wavelengthUm}`).toBe('never');
          }
        }
      }
    },
  );

  // trade disguises: an art supplier's comparison of linos, 2021; hobby write-ups; school lists
  test.each([
    'soft lino',
    'Soft-Lino 300 x 200',
    'SOFTLINO',
    'soft carving blocks',
    'vinyl',
    'self adhesive vinyl',
    'polycarbonate drypoint sheet',
    'Polycarbonat-Platte',
    'policarbonato',
    'unbreakable drypoint plates',
    'neoprene offcut',
    'Neoprén',
    'ABS 2mm',
    'ABS2mm',
    'uPVC3mm',
    'acrylic or PVC, not sure',
    'glue-backed vinyl lino',
    'mounted soft lino',
    'birch ply with a label',
    'galvanised sheet metal',
    'EVA foam',
  ])('"%s" is refused', (text) => {
    expect(judgeMaterial(text, null).verdict).toBe('never');
  });
});

describe('everything else asks', () => {
  test.each(others.map((material) => [material.kind, material] as const))(
    '%s is never waved through',
    (_, def) => {
      for (const name of namesOf(def)) {
        const { verdict, material, reason } = judgeMaterial(name, null);
        expect(['ask', 'declare'], name).toContain(verdict);
        expect(material?.kind, name).toBe(def.kind);
        expect(reason).toBe(def.reason);
      }
    },
  );

  test.each(['', '???', 'a nice sheet from the skip', 'plastic', '聚碳', 'perforated panel 5'])(
    'what is not known is a question: "%s"',
    (text) => {
      expect(judgeMaterial(text, 10.6)).toMatchObject({ verdict: 'ask', material: null, matched: null });
    },
  );

  test('the strictest of several kinds decides', () => {
    expect(judgeMaterial('cherry with lino inlay', null).material?.kind).toBe('lino');
    expect(judgeMaterial('cherry ply', null).material?.kind).toBe('plywood');
    expect(judgeMaterial('stamp rubber', null).material?.kind).toBe('rubber');
    expect(judgeMaterial('laser-grade rubber', null).material?.kind).toBe('laser-rubber');
  });

  test('glue-backed lino is asked about, and never cut', () => {
    for (const text of ['glue-backed lino', 'mounted linoleum', 'self adhesive lino', 'lino, glue backed']) {
      const judged = judgeMaterial(text, null);
      expect(judged, text).toMatchObject({ verdict: 'ask', engraveOnly: true });
      expect(judged.material?.cautions.join(' ')).toContain('never cut');
    }
    for (const text of [
      'sticky lino',
      'lino with adhesive back',
      'lino on self-adhesive backing',
      'lino + glue',
    ])
      expect(judgeMaterial(text, null), text).toMatchObject({ verdict: 'ask', engraveOnly: true });
    expect(judgeMaterial('glue-backed sheet', null).verdict).toBe('never');
    expect(judgeMaterial('lino', null).engraveOnly).toBe(false);
  });

  test('other words for sheets on the never-list are refused too, and wood under a coat is asked about', () => {
    for (const text of [
      'soft linoleum',
      'soft-cut lino',
      'easy carve lino',
      'polycarb',
      'laminated glass',
      'PCB',
    ])
      expect(judgeMaterial(text, null).verdict, text).toBe('never');
    expect(judgeMaterial('zinc plated steel', 1.06).verdict).toBe('never');
    expect(judgeMaterial('painted wood', null).verdict).toBe('ask');
    expect(judgeMaterial('treated timber', null).verdict).toBe('ask');
  });

  // 10.6 µm: the line of CO₂ lasers
  test('bare metal is refused at about 10.6 µm and asked about elsewhere', () => {
    for (const name of ['zinc', 'copper plate', 'brass', 'stainless steel', 'aluminum', 'bare metal']) {
      expect(judgeMaterial(name, 10.6).verdict, name).toBe('never');
      expect(judgeMaterial(name, 9.3).verdict, name).toBe('never');
      expect(judgeMaterial(name, null).verdict, name).toBe('ask');
      expect(judgeMaterial(name, 1.064).verdict, name).toBe('ask');
    }
    expect(judgeMaterial('painted zinc', 10.6).verdict).toBe('ask');
  });
});

describe('the registry', () => {
  test.each(all.map((material) => [material.kind, material] as const))(
    '%s is complete and gives no leave',
    (_, def) => {
      expect(materials[def.kind as keyof typeof materials]).toBe(def);
      expect(def.reason.length).toBeGreaterThan(10);
      expect(def.source.length).toBeGreaterThan(5);
      const words = [def.summary, def.reason, ...def.cautions].join(' ');
      expect(words).not.toMatch(
        /\b(allowed|allow|permitted|permission|safe|safely|approved|fine to|all right|no risk)\b/i,
      );
      for (const process of def.processes) expect(Object.keys(processes)).toContain(process);
      for (const { value, basis, source } of Object.values(def.limits)) {
        expect(value).toBeGreaterThan(0);
        expect(['measured', 'common practice', 'from memory']).toContain(basis);
        expect(source.length).toBeGreaterThan(5);
      }
      if (def.status === 'never') {
        expect(def.processes).toEqual([]);
        expect(def.limits).toEqual({});
        expect(def.summary).toMatch(/^never: /);
      } else expect(def.processes.length).toBeGreaterThan(0);
    },
  );

  test('no name stands for two kinds', () => {
    const names = all.flatMap((def) =>
      namesOf(def).map((name) => name.toLowerCase().replace(/[^a-z0-9]/g, '')),
    );
    const twice = names.filter((name, i) => names.indexOf(name) !== i);
    for (const name of new Set(twice)) {
      expect(
        all.filter((def) => namesOf(def).some((n) => n.toLowerCase().replace(/[^a-z0-9]/g, '') === name)),
      ).toHaveLength(1);
    }
  });

  // from memory and three stamp makers' guides: kept lines 0.4 mm in wood, 0.3 in rubber; white gaps 0.3 and 0.4
  test('kinds that serve as blocks know their thinnest wall and gap', () => {
    for (const def of others.filter((d) => d.processes.includes('relief') && d.limits.depthPerPassMm)) {
      expect(def.limits.minWallMm?.value).toBeGreaterThanOrEqual(0.3);
      expect(def.limits.minGapMm?.value).toBeGreaterThanOrEqual(0.3);
    }
    expect(materials.rubber.limits.minGapMm?.value).toBe(0.4);
    expect(materials.wood.limits.minWallMm?.value).toBe(0.4);
    expect(materials.acrylic.limits.maxPoolMm).toMatchObject({ value: 0.8, basis: 'from memory' });
  });
});

test.each([
  ['birch ply', 'cut'],
  ['cast acrylic', 'cut'],
  ['something nobody knows', 'cut'],
  ['lino', 'guide'],
  ['mounted lino', 'guide'],
  ['boxwood', 'guide'],
  ['zinc', 'template'],
  ['painted copper', 'template'],
  ['lino on zinc', 'template'],
] as const)('an outline on %s is a %s', (text, as) => {
  expect(judgeMaterial(text, null).outlineAs).toBe(as);
});

test('what must not be cut through is drawn no line to cut, and who says so stands beside it', () => {
  for (const { engraveOnly, outline } of all) {
    if (engraveOnly) expect(outline.as).not.toBe('cut');
    expect(outline.source).toMatch(/.{8,}/);
  }
});
