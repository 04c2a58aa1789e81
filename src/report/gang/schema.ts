import * as z from 'zod';
import { OUTLINE_USES } from '../../core/materials/contract.ts';
import { count, mm, reportSchema, sha256 } from '../schema.ts';

const { tool, workshop, material, passes, time, files, cautions } = reportSchema.shape;

const size = { widthMm: mm('as it lies'), heightMm: mm('as it lies') };

const placed = z
  .strictObject({
    id: z
      .string()
      .describe('what tells this plate from all others of the gang; on the sheet and on the labels'),
    name: z.string(),
    file: z.string().describe('name of the plate file'),
    sha256: sha256.describe('of the plate file'),
    fire: z.enum(['dark', 'light']).describe('which pixel value of that file fires'),
    xMm: mm('left edge, from the left edge of the sheet as the machine sees it'),
    yMm: mm('upper edge, from the upper edge of the sheet'),
    ...size,
    turned: z.boolean().describe('turned by 90 degrees clockwise'),
    xPx: count,
    yPx: count,
    widthPx: count,
    heightPx: count,
    mirrored: z.boolean().describe('plate-reading'),
    screen: z.string().nullable().describe('by the report beside it; null where there was none'),
    bitsSha256: sha256.describe(
      'of the plate, upright, as in its own report: cut out of the written sheet and turned back; the same in every file',
    ),
    etched: z.number().min(0).max(1).describe('etched share of the plate'),
    label: z
      .strictObject({
        text: z.string(),
        xMm: z.number(),
        yMm: z.number(),
        widthMm: z.number(),
        heightMm: z.number(),
        mirrored: z.boolean(),
      })
      .nullable()
      .describe('the lettering in the waste beside it; null where there was no room'),
    report: z
      .enum(['agrees', 'differs', 'none'])
      .describe('whether a report lies beside the plate, and tells of the bits that its file holds'),
  })
  .describe('a plate on the sheet');

/** Several plates on sheets: where each lies, and what each sheet takes. Units as in the report of a plate. */
export const gangSchema = z.strictObject({
  schema: z.literal('etchwright/gang'),
  version: z.literal(1),
  tool,
  process: z.string(),
  dpi: z.number(),
  pitchMm: mm('distance from one pixel to the next'),
  workshop,
  material,
  passes,
  sheet: z.strictObject({
    widthMm: mm('along the scan'),
    heightMm: mm('across it'),
    marginMm: mm('kept free along the edges'),
    gutterMm: mm('least between two plates'),
    kerfMm: mm('width of a through cut on this machine'),
    sawAllowanceMm: mm('what cutting by hand takes beside it'),
    turn: z.enum(['auto', 'off']),
  }),
  asked: z
    .record(z.string(), z.unknown())
    .describe('settings that decide how the plates lie and what is drawn around them, as asked for'),
  askedSha256: sha256.describe(
    'SHA-256 of sheet, settings and places as JSON, keys in order of the alphabet; tells a report that was changed since',
  ),
  sheets: z.array(
    z.strictObject({
      number: z.int().min(1),
      raster: z
        .strictObject({ ...size, widthPx: count, heightPx: count })
        .describe('the file: from the upper left corner of the sheet to the end of what lies on it'),
      etched: z.number().min(0).max(1).describe('etched share of the raster'),
      time,
      placed: z.array(placed),
      bitsSha256: sha256.describe('of the raster'),
      outline: z
        .strictObject({
          as: z.enum(OUTLINE_USES).describe('what the lines are for, as in the report of a plate'),
          kerfMm: mm('of this machine; 0 where nothing is cut'),
          lengthMm: mm('of all lines'),
          guideMm: mm(
            'width of the guide that is engraved in the waste outside each line; null for none',
          ).nullable(),
          plates: z
            .array(z.strictObject({ id: z.string(), kind: z.string() }))
            .describe('plates with a line around them'),
        })
        .nullable()
        .describe(
          'lines around the plates, on a page as large as the sheet whose upper left corner is that of the raster; null for none',
        ),
      files,
    }),
  ),
  arrangement: z.strictObject({
    method: z.enum(['rows', 'free']).describe('plates side by side in rows, or packed freely'),
    compared: z.int().min(1).describe('arrangements that were compared'),
    plates: z.int().min(1),
    share: z.number().min(0).max(1).describe('area of the plates over that of the sheets'),
    leastSheets: z
      .int()
      .min(1)
      .describe(
        'a bound: areas with their gutters over that of a sheet inside its margins; no arrangement takes fewer',
      ),
    totalS: z.number().describe('all sheets, all passes'),
    singlyS: z.number().describe('the same plates one after the other, as their files lie'),
  }),
  cautions,
});

export type GangReport = z.output<typeof gangSchema>;
export type PlacedPlate = GangReport['sheets'][number]['placed'][number];
