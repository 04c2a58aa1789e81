/** Reports of real plates and pictures for their sheets, made within this process. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SheetOptions } from '../../../src/report/jobsheet/jobsheet.ts';
import type { SheetPicture, SheetPictures } from '../../../src/report/jobsheet/pictures.ts';
import type { Report } from '../../../src/report/schema.ts';
import { makePlate } from '../../run/make.ts';
import { greyPng, photograph, save } from '../../run/pictures.ts';

/** Names that would break a page out of its text, its attributes, its direction or its encoding. */
export const HOSTILE = `"><script>alert(1)</script>' onerror='x' &amp; <!-- ]]> \u202e\u0000\ud800 ${'W'.repeat(110)}`;

/** What either process is made of here. */
export const SETTINGS = {
  relief: {
    screen: 'threshold',
    material: 'cherry ply',
    materialConfirmed: 'M. Orr, 3 May 2031',
    passes: 3,
    dpi: 254,
  },
  intaglio: { screen: 'errordiffusion', material: 'acrylic', dpi: 254 },
} as const;

/** A block of tone, which has more cautions than any other plate. */
const TONAL = { ...SETTINGS.relief, screen: 'grain', dpi: 500 } as const;

export type SheetProcess = keyof typeof SETTINGS;

/** The report of a real plate of 120 × 80 mm, in a folder of its own that is taken away again. */
export async function realReport(process: SheetProcess, tonal = false): Promise<Report> {
  const folder = mkdtempSync(join(tmpdir(), 'etchwright-sheet-'));
  try {
    const path = save(folder, 'in.png', photograph(480, 320));
    const settings = { process, widthMm: 120, heightMm: 80, permission: 'own drawing' };
    const more = tonal ? TONAL : SETTINGS[process];
    return (await makePlate(folder, path, { ...settings, ...more })).report;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The same report, with every text from outside made hostile. */
export const hostile = (report: Report): Report => ({
  ...report,
  input: { ...report.input, name: HOSTILE, permission: HOSTILE, format: HOSTILE },
  workshop: { ...report.workshop, name: HOSTILE, machine: HOSTILE },
  material: report.material && { ...report.material, id: HOSTILE, batch: HOSTILE, confirmedBy: HOSTILE },
  screen: { ...report.screen, [HOSTILE]: HOSTILE },
  time: report.time && { ...report.time, basis: HOSTILE },
  files: report.files.map((file) => ({ ...file, name: HOSTILE })),
  cautions: [
    ...report.cautions,
    { code: HOSTILE, severity: 'stop', text: HOSTILE, value: null, limit: null, unit: null, cure: HOSTILE },
    {
      code: `safety-${HOSTILE}`,
      severity: 'note',
      text: HOSTILE,
      value: 1,
      limit: 1,
      unit: HOSTILE,
      cure: '',
    },
  ],
});

export const noPictures: SheetPictures = { artwork: null, proof: null, plate: null, holdMap: null };

/** A picture of rings, so that it is seen whether it is whole. */
export function picture(widthMm: number, heightMm: number): SheetPicture {
  const [widthPx, heightPx] = [Math.round(widthMm * 4), Math.round(heightMm * 4)];
  const png = greyPng(widthPx, heightPx, (x, y) =>
    Math.hypot(x - widthPx / 2, y - heightPx / 2) % 40 < 20 ? 60 : 230,
  );
  return { dataUri: `data:image/png;base64,${png.toString('base64')}`, widthMm, heightMm };
}

export const allPictures = (widthMm: number, heightMm: number): SheetPictures => {
  const one = picture(widthMm, heightMm);
  return { artwork: one, proof: one, plate: one, holdMap: one };
};

export const plain: SheetOptions = { name: 'ferry', id: null, thicknessMm: null, tone: {}, coverageBins: [] };

/** Everything that may stand on a sheet. */
export const full: SheetOptions = {
  name: 'ferry.sound',
  id: 'EQ-07',
  thicknessMm: 9,
  tone: {
    asked: [
      [0, 0],
      [1, 0.8],
    ],
    predicted: [
      [0, 0],
      [0.25, 0.3],
      [0.5, 0.55],
      [1, 0.82],
    ],
    measured: [
      [0.1, 0.16],
      [0.5, 0.63],
      [0.9, 0.86],
    ],
  },
  coverageBins: [40, 12, 6, 3, 2, 2, 4, 9, 30, 4],
};
