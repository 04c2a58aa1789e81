import { Command } from 'commander';
import { packageVersion } from '../run/tool.ts';
import type { CommandDef } from './commands/contract.ts';
import { offerWords } from './flags.ts';
import { openTalk, type TalkOptions } from './talk.ts';
import { topicNames } from './topics/names.ts';

const HELP_COLUMNS = 80;

function addTo(program: Command, def: CommandDef, done: (code: number) => void, signal: AbortSignal): void {
  const command = program
    .command(`${def.name} ${def.usage}`.trim())
    .description(def.summary)
    .exitOverride()
    .configureHelp({ helpWidth: HELP_COLUMNS });
  def.configure(command);
  offerWords(command, def);
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

/** The command line as commander knows it, with these commands; `done` is told the exit code of the one that was run. */
export function buildProgram(
  commands: readonly CommandDef[],
  done: (code: number) => void,
  signal: AbortSignal,
): Command {
  const program = new Command('etchwright')
    .description('Turns a picture into a relief block or an intaglio plate for a laser engraver.')
    .version(packageVersion())
    .exitOverride()
    .configureHelp({ helpWidth: HELP_COLUMNS, subcommandTerm: (command) => command.name() })
    .configureOutput({ writeErr: () => undefined })
    .showSuggestionAfterError(true)
    .helpCommand(false);
  for (const def of commands) addTo(program, def, done, signal);
  return program.addHelpText(
    'after',
    `\nTopics, each shown by \`etchwright help <topic>\`:\n  ${topicNames.join(', ')}\n\nStart with: etchwright prepare picture.jpg --process relief --width 120mm`,
  );
}
