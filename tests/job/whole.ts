/** A whole job and its making from a few settings, the screen named among them; throws where they are no job. */
import { type Origins, resolveJob, withScreen } from '../../src/job/layers.ts';
import { type Making, resolveMaking } from '../../src/job/making.ts';
import type { Job } from '../../src/job/schema.ts';
import { settleScreen } from '../../src/job/screen-place.ts';

export function wholeJob(values: Readonly<Record<string, unknown>>): {
  readonly job: Job;
  readonly origins: Origins;
  readonly making: Making;
} {
  const { job, origins, problems } = resolveJob([{ origin: 'flag', name: '', values }]);
  if (job === null) throw new Error(problems.map(({ message }) => message).join('\n'));
  if (job.screen === null) throw new Error('name a screen');
  const { making } = resolveMaking(job, null);
  return { job: settleScreen(withScreen(job, job.screen), making), origins, making };
}
