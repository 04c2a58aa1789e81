import { EtchError, type Problem } from '../../core/errors.ts';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import { parseColour } from '../../core/proof/colour.ts';
import { screens } from '../../core/screens/index.ts';
import { type Looking, proofSettingsSchema } from '../../job/proof-settings.ts';
import type { WantedJob } from '../../job/schema.ts';
import { flagFor } from '../../job/settings.ts';
import { looksOf } from './files.ts';

const FLAGS = { proof: '--proof', hold: '--holdmap', jobsheet: '--jobsheet' } as const;

function colourProblems({ inkColour, paperColour }: Looking): Problem[] {
  return (
    [
      [inkColour, 'ink'],
      [paperColour, 'paper'],
    ] as const
  ).flatMap(([colour, what]) => {
    try {
      parseColour(colour, what);
      return [];
    } catch (error) {
      if (!(error instanceof EtchError)) throw error;
      return [{ code: error.code, message: error.message, hint: error.hint }];
    }
  });
}

/** Settings of a proof that some processes have no use for, by what they do with their ink. */
const OF_INKING = { squashMm: 'squashes', plateTonePercent: 'wiped' } as const;

/** Settings of how another process is inked. As typed as it is by default, one changes nothing. */
function inkingProblems(looking: Looking, process: ProcessKind): Problem[] {
  const defaults = proofSettingsSchema.parse({});
  const kinds = Object.keys(processes) as ProcessKind[];
  return (Object.keys(OF_INKING) as (keyof typeof OF_INKING)[])
    .filter((key) => looking[key] !== defaults[key] && !processes[process].inking[OF_INKING[key]])
    .map((key) => ({
      code: 'proof-of-another-process',
      message: `--${flagFor(key)} belongs to proofs of ${kinds.filter((kind) => processes[kind].inking[OF_INKING[key]]).join(' or ')}, and this plate is for ${process}`,
      hint: 'Leave it out.',
    }));
}

/** What asks for pictures that cannot be: nowhere to put them, or nothing to make them from. `job` null: not known yet. */
export function lookingClashes(
  looking: Looking,
  { streams, dryRun }: { readonly streams: boolean; readonly dryRun: boolean },
  job: (Pick<WantedJob, 'hold' | 'screen'> & { readonly process?: ProcessKind | undefined }) | null,
): Problem[] {
  const looks = looksOf(looking);
  const flags = looks.map((look) => FLAGS[look]).join(', ');
  const problems = colourProblems(looking);
  const add = (code: string, message: string, hint: string): void =>
    void problems.push({ code, message, hint });
  if (looks.length === 0) return problems;
  if (job?.process) problems.push(...inkingProblems(looking, job.process));
  if (dryRun)
    add(
      'look-of-dry-run',
      `--dry-run writes no files, so ${flags} has nowhere to go`,
      'Leave one of them out.',
    );
  if (streams)
    add(
      'look-of-stream',
      `--out - carries the plate alone, so ${flags} has nowhere to go`,
      'Give a folder with --out: the plate and what belongs to it lie there together.',
    );
  if (looks.includes('hold') && job?.hold === false)
    add(
      'holdmap-without-hold',
      '--holdmap draws what --no-hold does not look for',
      'Leave --no-hold out, or --holdmap.',
    );
  const drawn = looks.filter((look) => look !== 'jobsheet').map((look) => FLAGS[look]);
  if (drawn.length > 0 && job?.screen && screens[job.screen].draws === 'tone')
    add(
      'look-of-tone',
      `${drawn.join(' and ')} is drawn from the marks of a plate, and --screen ${job.screen} makes none`,
      'Leave it out, or let the plate be screened. --jobsheet may stay.',
    );
  return problems;
}
