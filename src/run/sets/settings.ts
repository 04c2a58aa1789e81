import * as z from 'zod';
import { type AidKind, aids } from '../../core/register/index.ts';
import { type SeparationKind, separations } from '../../core/separations/index.ts';

const kinds = Object.keys(separations) as [SeparationKind, ...SeparationKind[]];

const aidKinds = Object.keys(aids) as [AidKind, ...AidKind[]];

const set = (names?: string) => ({ group: 'set', bits: false, ...(names ? { names } : {}) });

/** What only a set of plates is told, whatever its method. */
export const separateSettings = z.strictObject({
  by: z
    .enum(kinds)
    .describe('how the picture is divided; may be left out where every plate has a picture of its own')
    .meta(set())
    .optional(),
  inks: z
    .array(z.string().min(1).max(80))
    .min(1)
    .max(8)
    .describe('inks in the order they are printed: name=colour, each with :transparent where it is so')
    .meta({ ...set(), unlessGiven: 'found in the picture' })
    .optional(),
  colours: z
    .int()
    .min(1)
    .max(8)
    .describe('number of inks to look for in the picture')
    .meta({ ...set(), unlessGiven: 'by method' })
    .optional(),
  pieceMap: z
    .string()
    .min(1)
    .describe('picture of flat colours that says where pieces are cut; the picture itself is what they carry')
    .meta({ ...set(), names: 'file', unlessGiven: 'the picture’s own colours' })
    .optional(),
  smallestMm: z
    .number()
    .min(0)
    .max(10)
    .describe('smallest mark: pieces below it go to the colour beside them')
    .meta({ ...set(), unit: 'mm' })
    .default(0.5),
  register: z
    .enum([...aidKinds, 'none'])
    .describe('aid that sheets and plates are laid by, drawn into the border of every plate')
    .meta(set())
    .default('none'),
  registerMap: z
    .boolean()
    .describe('write a map of where paper shows first if a plate lies off')
    .meta(set())
    .default(false),
  bedTemplate: z
    .boolean()
    .describe('write a template for the bed of the press at its true size, as PDF; wants --paper-size')
    .meta(set())
    .default(false),
  paperSize: z
    .string()
    .min(1)
    .max(60)
    .describe('sheet that is printed on, across × down, such as 56x38cm, or its name, such as a3')
    .meta(set('size'))
    .optional(),
  edition: z
    .int()
    .min(1)
    .max(100000)
    .describe('good prints wanted, to tell how many sheets to start with')
    .meta(set())
    .optional(),
  editionProofs: z
    .int()
    .min(0)
    .max(10000)
    .describe('proofs wanted besides the edition')
    .meta({ ...set(), onlyWith: ['edition'] })
    .default(0),
  lossPercent: z
    .number()
    .min(0)
    .max(50)
    .describe('sheets lost at each printing (common practice: 4 to 5)')
    .meta({ ...set(), unit: 'percent', onlyWith: ['edition'] })
    .default(5),
});

export type SeparateSettings = z.output<typeof separateSettings>;

/** Which separations a setting belongs to. */
const owners: Record<string, SeparationKind[]> = {};
const shapes: Record<string, z.ZodType> = {};

for (const [kind, { params }] of Object.entries(separations) as [SeparationKind, { params: z.ZodObject }][])
  for (const [name, field] of Object.entries(params.shape) as [string, z.ZodType][]) {
    owners[name] = [...(owners[name] ?? []), kind];
    shapes[name] ??= optional(field);
  }

/** The setting without its default, which is shown all the same: whether it counts hangs on the method. */
function optional(field: z.ZodType): z.ZodType {
  const inner = field instanceof z.ZodDefault ? (field.unwrap() as z.ZodType) : field;
  const fallback = field instanceof z.ZodDefault ? field.def.defaultValue : undefined;
  const known = { ...z.globalRegistry.get(inner), ...z.globalRegistry.get(field) };
  return inner.meta({ ...known, group: 'method', bits: false, default: fallback }).optional();
}

/** The settings of all separations under their names, each optional. */
export const methodSettings = z.strictObject(shapes);

export const separationsWith = (key: string): readonly SeparationKind[] => owners[key] ?? [];
