import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import type { Making } from '../../job/making.ts';
import type { Job } from '../../job/schema.ts';
import { decidedBits } from '../build.ts';
import { jobSha256 } from '../job-hash.ts';
import { materialOf, workshopOf } from '../sections.ts';
import { tidy } from '../tidy.ts';
import type { TestPlateReport } from './testplate-schema.ts';

/** What is known of a test plate that is made. */
export interface TestPlateParts
  extends Pick<TestPlateReport, 'tool' | 'passLadder' | 'etched' | 'time' | 'plates' | 'files'> {
  readonly layout: TestPlateLayout;
  readonly job: Job;
  readonly making: Making;
  readonly cautions: readonly TestPlateReport['cautions'][number][];
}

/** Builds the report of a test plate. */
export function buildTestPlateReport(parts: TestPlateParts): TestPlateReport {
  const { layout, job, making } = parts;
  const { process, widthMm, heightMm, dpi } = layout;
  const decided = { ...decidedBits({ job, making }), widthMm, heightMm };
  return {
    schema: 'etchwright/testplate-report',
    version: 1,
    tool: parts.tool,
    layoutId: layout.id,
    job: decided,
    jobSha256: jobSha256(decided),
    passLadder: parts.passLadder,
    workshop: workshopOf(making),
    material: materialOf(making),
    plate: { process, widthMm, heightMm, dpi, mirrored: job.facing === 'plate' },
    screen: layout.screen,
    etched: tidy(parts.etched),
    time: parts.time,
    plates: [...parts.plates],
    files: parts.files.map((file) => ({ ...file })),
    cautions: [...parts.cautions],
  };
}
