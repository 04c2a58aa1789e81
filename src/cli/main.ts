import { CommanderError } from 'commander';
import { EtchError } from '../core/errors.ts';
import { commandNames, wantedCommands } from './commands/index.ts';
import { tellError } from './errors.ts';
import { EXIT, exitCodeOf } from './exit-codes.ts';
import { buildProgram } from './program.ts';
import { watchStreams } from './streams.ts';
import { openTalk } from './talk.ts';
import { usageError } from './usage.ts';

async function main(argv: readonly string[]): Promise<number> {
  const outerTalk = () => openTalk({ json: argv.includes('--json'), color: !argv.includes('--no-color') });
  watchStreams((fault) => {
    tellError(fault, outerTalk());
    process.exitCode = exitCodeOf(fault);
  });
  const stop = new AbortController();
  for (const name of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
    process.once(name, () =>
      stop.abort(
        new EtchError(
          'interrupted',
          'interrupted',
          'Stopped before the work was finished',
          'Nothing half made was left.',
        ),
      ),
    );

  let code: number = EXIT.done;
  const program = buildProgram(await wantedCommands(argv), (exit) => (code = exit), stop.signal);

  try {
    if (argv.length === 0) {
      process.stderr.write(program.helpInformation());
      return EXIT.usage;
    }
    await program.parseAsync(argv as string[], { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError && error.exitCode === 0) return EXIT.done;
    const [first] = argv;
    const named = commandNames.find((name) => name === first) ?? null;
    const told = error instanceof CommanderError ? usageError(error, named) : error;
    tellError(told, outerTalk());
    return exitCodeOf(told);
  }
}

const code = await main(process.argv.slice(2));
// results that could not be written have set it already
process.exitCode ??= code;
