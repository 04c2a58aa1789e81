import { Command, CommanderError } from 'commander';
import { EtchError } from '../core/errors.ts';
import { packageVersion } from '../run/tool.ts';
import type { CommandDef } from './commands/contract.ts';
import { commands } from './commands/index.ts';
import { tellError } from './errors.ts';
import { EXIT, exitCodeOf } from './exit-codes.ts';
import { watchStreams } from './streams.ts';
import { openTalk, type TalkOptions } from './talk.ts';
import { usageError } from './usage.ts';

const HELP_COLUMNS = 80;

function addTo(program: Command, def: CommandDef, done: (code: number) => void, signal: AbortSignal): void {
  const command = program
    .command(`${def.name} ${def.usage}`.trim())
    .description(def.summary)
    .exitOverride()
    .configureHelp({ helpWidth: HELP_COLUMNS });
  def.configure(command);
  command
    .optionsGroup('Talking:')
    .helpOption('-h, --help', 'this help')
    .option('--json', 'one JSON value on standard output, nothing else there')
    .option('--quiet', 'say nothing but errors')
    .option('--no-color', 'no colours')
    .addHelpText('after', `\nExamples:\n${def.examples.map((line) => `  ${line}`).join('\n')}`);
  command.action(async () => {
    const talk = openTalk(command.opts<TalkOptions>());
    const args = command.processedArgs.flat().filter((arg): arg is string => typeof arg === 'string');
    done(await def.run(args, command, talk, signal));
  });
}

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
  const program = new Command('etchwright')
    .description('Turns a picture into a relief block or an intaglio plate for a laser engraver.')
    .version(packageVersion())
    .exitOverride()
    .configureHelp({ helpWidth: HELP_COLUMNS })
    .configureOutput({ writeErr: () => undefined })
    .showSuggestionAfterError(true);
  for (const def of commands) addTo(program, def, (exit) => (code = exit), stop.signal);
  program.addHelpText('after', '\nStart with: etchwright prepare picture.jpg --process relief --width 120mm');

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
    const named = commands.find(({ name }) => name === first)?.name ?? null;
    const told = error instanceof CommanderError ? usageError(error, named) : error;
    tellError(told, outerTalk());
    return exitCodeOf(told);
  }
}

const code = await main(process.argv.slice(2));
// results that could not be written have set it already
process.exitCode ??= code;
