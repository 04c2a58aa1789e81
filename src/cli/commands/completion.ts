import { EtchError } from '../../core/errors.ts';
import { completed, shells } from '../completion.ts';
import { EXIT } from '../exit-codes.ts';
import type { CommandDef } from './contract.ts';

/** `<init|show>` → init, show: words that a usage line offers to choose from. */
const offered = (usage: string): string[] => /^<([a-z]+(?:\|[a-z]+)+)>/.exec(usage)?.[1]?.split('|') ?? [];

export const completion: CommandDef = {
  name: 'completion',
  usage: `<${Object.keys(shells).join('|')}>`,
  summary: 'a script with which a shell completes commands, flags and their words',
  examples: [
    'source <(etchwright completion bash)',
    'etchwright completion fish > ~/.config/fish/completions/etchwright.fish',
  ],
  configure: () => undefined,
  async run([shell = ''], command, talk) {
    const write = Object.hasOwn(shells, shell) ? shells[shell]! : null;
    if (!write)
      throw new EtchError(
        'usage',
        'unknown-shell',
        `There is no completion for "${shell}"`,
        `Say one of: ${Object.keys(shells).join(', ')}.`,
      );
    const program = command.parent!;
    const usages = new Map(
      program.commands.map((one) => [one.name(), one.usage().replace('[options] ', '')]),
    );
    const script = write(
      program.name(),
      completed(program, (name) => offered(usages.get(name) ?? '')),
    );
    talk.result(talk.json ? JSON.stringify({ shell, script }) : script);
    return EXIT.done;
  },
};
