import * as z from 'zod';
import { materials } from '../core/materials/index.ts';
import { processes } from '../core/processes/index.ts';

const keys = <Registry extends object>(registry: Registry) =>
  z.enum(Object.keys(registry) as [Extract<keyof Registry, string>, ...Extract<keyof Registry, string>[]]);

const id = z.string().min(1).max(100).describe('name by which it is chosen');
const mm = (least: number, most: number, what: string) =>
  z.number().min(least).max(most).describe(what).meta({ unit: 'mm' });

const machineSchema = z.strictObject({
  id,
  wavelengthUm: z.number().min(0.1).max(20).describe('wavelength of the laser, in micrometres').optional(),
  bedMm: z
    .strictObject({ x: mm(10, 10_000, 'along the scan'), y: mm(10, 10_000, 'across it') })
    .describe('room for the carriage')
    .optional(),
  spotMm: mm(0.005, 2, 'width of the mark of one firing, measured on a test plate').optional(),
  beam: z
    .enum(['pulse', 'sweep'])
    .describe('whether the beam fires once a pixel, or stays on while it moves over it')
    .optional(),
  speedMmS: z.number().min(1).max(20_000).describe('speed over the marks, in mm/s').optional(),
  accelMmS2: z
    .number()
    .min(10)
    .max(1_000_000)
    .describe('how it speeds up and slows down, in mm/s²')
    .optional(),
  direction: z.enum(['both', 'one']).describe('marks both ways, or one way only').optional(),
  returnSpeedMmS: z.number().min(1).max(20_000).describe('speed of the way back, in mm/s').optional(),
  settleS: z.number().min(0).max(10).describe('pause at the end of a row, in seconds').optional(),
  skipsEmptyRows: z.boolean().describe('runs over no empty rows').optional(),
  trimsRows: z.boolean().describe('runs each row only from its first mark to its last').optional(),
  slotMinutes: z.number().min(1).max(1440).describe('the time one can book, in minutes').optional(),
  kerfMm: mm(0, 2, 'width of a through cut').optional(),
  lens: z
    .strictObject({
      focalMm: mm(5, 1000, 'focal length'),
      beamMm: mm(0.1, 50, 'width of the beam at the lens'),
      m2: z.number().min(1).max(100).describe('beam quality M²; 1 is the best there is'),
    })
    .describe('the lens, for the depth of focus')
    .optional(),
});

const materialSchema = z.strictObject({
  id,
  kind: keys(materials).describe('kind of sheet; its own data fill what is left out here'),
  thicknessMm: mm(0.05, 200, 'thickness of the sheet').optional(),
  processes: z.array(keys(processes)).min(1).describe('what it is used for here').optional(),
  depthMm: mm(0.001, 50, 'depth that prints well').optional(),
  depthPerPassMm: mm(0.0001, 20, 'depth one pass gives, measured').optional(),
  minWallMm: mm(0.01, 20, 'thinnest kept line that stands').optional(),
  minLandMm: mm(0.01, 20, 'smallest kept dot, or ground between marks, that holds').optional(),
  minMarkMm: mm(0.01, 20, 'smallest etched mark that prints').optional(),
  minGapMm: mm(0.01, 20, 'thinnest etched line that stays open').optional(),
  maxPoolMm: mm(0.01, 50, 'widest etched pool that still holds ink').optional(),
  batch: z.string().max(100).describe('batch of the sheet').optional(),
  confirmedBy: z.string().max(200).describe('who in the workshop confirmed what it is, and when').optional(),
});

const pressSchema = z.strictObject({
  id,
  kind: z.enum(['baren', 'roller']).describe('rubbed by hand, or rolled'),
  rollerRadiusMm: mm(1, 1000, 'radius of the inking roller').optional(),
  rollerLengthMm: mm(1, 5000, 'length of the inking roller').optional(),
});

/** What a workshop knows of its own machines, sheets and presses. Only SI numbers of motion and light. */
export const workshopSchema = z.strictObject({
  $schema: z.string().describe('where an editor finds the description of this file').optional(),
  version: z.literal(1).describe('version of this description'),
  name: z.string().min(1).max(200).describe('name of the workshop, for reports'),
  machines: z.array(machineSchema).describe('the first is used unless another is named').default([]),
  materials: z.array(materialSchema).describe('sheets in use here').default([]),
  presses: z.array(pressSchema).describe('the first is used unless another is named').default([]),
  curves: z
    .array(
      z.strictObject({
        id,
        materialId: z.string().min(1).describe('sheet of this file that it was measured on'),
        screen: z.string().min(1).describe('screen that it was measured with'),
        file: z.string().min(1).describe('curve file'),
        measuredOn: z.iso.date().describe('day of the proof, such as 2031-05-03'),
      }),
    )
    .describe('measured curves')
    .default([]),
  papers: z
    .array(
      z.strictObject({
        id,
        stretch: z
          .strictObject({
            xPercent: z
              .number()
              .min(-10)
              .max(10)
              .describe('along the width, in %; negative where it shrinks'),
            yPercent: z.number().min(-10).max(10).describe('along the height, in %'),
          })
          .describe('growth from dry to damp'),
      }),
    )
    .describe('papers, and how much they grow when damped')
    .default([]),
});

export type Workshop = z.output<typeof workshopSchema>;
export type WorkshopMachine = Workshop['machines'][number];
export type WorkshopMaterial = Workshop['materials'][number];

/** The machine that is taken for granted until a workshop says otherwise; every number from memory. */
export const UNMEASURED_MACHINE = {
  wavelengthUm: null,
  bedMm: { x: 600, y: 400 },
  spotMm: 0.1,
  beam: 'pulse',
  speedMmS: 500,
  accelMmS2: 5000,
  direction: 'both',
  returnSpeedMmS: 500,
  settleS: 0,
  skipsEmptyRows: false,
  trimsRows: false,
  slotMinutes: 60,
  kerfMm: 0.2,
  lens: null,
} as const;

/** The press taken for granted: a hand roller; from memory. */
export const UNMEASURED_PRESS = { kind: 'roller', rollerRadiusMm: 25 } as const;
