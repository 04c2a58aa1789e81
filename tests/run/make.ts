/** The whole way from picture to plate within this process, on one thread. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { resolveJob } from '../../src/job/layers.ts';
import { resolveMaking } from '../../src/job/making.ts';
import { NO_CURVES } from '../../src/job/measured-curve.ts';
import { lookingSchema } from '../../src/job/proof-settings.ts';
import type { Report } from '../../src/report/schema.ts';
import { preparePlate } from '../../src/run/plate/prepare.ts';
import { openSession } from '../../src/run/session.ts';
import { type Seen, seenInPng } from './judges.ts';

export interface MadePlate {
  readonly report: Report;
  readonly png: Buffer;
  readonly plate: Seen;
}

/** Makes one plate in a folder from a picture file and the settings of a job; the name must be new there. */
export async function makePlate(
  folder: string,
  picture: string,
  settings: Readonly<Record<string, unknown>>,
  name = 'a',
  looking: object = {},
  mask: string | null = null,
): Promise<MadePlate> {
  const { job, origins, problems } = resolveJob([{ origin: 'flag', name: '', values: settings }]);
  if (job === null) throw new Error(problems.map(({ message }) => message).join('\n'));
  const signal = new AbortController().signal;
  const owner = { hostId: 'test', pid: process.pid, isAlive: () => true };
  const session = await openSession({ owner, workers: 1, signal, progress: () => undefined });
  try {
    const prepared = await preparePlate(
      {
        input: { path: picture, name: 'picture' },
        name,
        job,
        origins,
        making: resolveMaking(job, null).making,
        curves: NO_CURVES,
        formats: ['png'],
        stored: { fire: 'dark', tiff: 'deflate' },
        output: { to: 'files', folder, reportPath: null, overwrite: false, protect: [] },
        outlineMask: mask === null ? null : { path: mask, name: 'mask' },
        looking: lookingSchema.parse(looking),
        strict: false,
      },
      session.context,
    );
    const png = readFileSync(join(folder, `${name}.plate.png`));
    return { report: prepared.report, png, plate: seenInPng(png) };
  } finally {
    await session.close();
  }
}

/** Settings that give a picture of this width one plate pixel for each of its own. */
export const oneToOne = (widthPx: number, heightPx: number, dpi = 254) => ({
  dpi,
  widthMm: (widthPx * 25.4) / dpi,
  heightMm: (heightPx * 25.4) / dpi,
});
