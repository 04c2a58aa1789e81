import { EtchError } from '../../core/errors.ts';
import { completed, shells } from '../completion.ts';
import { EXIT } from '../exit-codes.ts';
import type { CommandDef } from './contract.ts';

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
    const script = write(program.name(), completed(program));
    talk.result(talk.json ? JSON.stringify({ shell, script }) : script);
    return EXIT.done;
  },
};
