import type { Command } from 'commander';
import { choicesOf, firstWordsOf } from './flags.ts';

/** A flag as shells complete it. */
interface CompletedFlag {
  readonly name: string;
  readonly summary: string;
  readonly takesValue: boolean;
  /** What may stand behind it, where that is a choice of words. */
  readonly choices: readonly string[];
}

interface CompletedCommand {
  readonly name: string;
  readonly summary: string;
  readonly flags: readonly CompletedFlag[];
  /** Words that may come first behind the command. */
  readonly words: readonly string[];
}

export type Shell = (program: string, commands: readonly CompletedCommand[]) => string;

/** What there is to complete, out of the command line itself. */
export const completed = (program: Command): CompletedCommand[] =>
  program.commands.map((command) => ({
    name: command.name(),
    summary: command.description(),
    words: firstWordsOf(command),
    flags: command
      .createHelp()
      .visibleOptions(command)
      .flatMap((option) =>
        option.long
          ? [
              {
                name: option.long,
                summary: option.description,
                takesValue: option.required || option.optional,
                choices: choicesOf(option) ?? [],
              },
            ]
          : [],
      ),
  }));

/** A word for a shell that needs no quoting; ours are of this kind, and nothing else may get into a script. */
function plain(word: string): string {
  if (/^[\w.,:=+-]+$/.test(word)) return word;
  throw new Error(`"${word}" would need quoting in a shell`);
}

const words = (list: readonly string[]): string => list.map(plain).join(' ');

/** In single quotes, as sh, zsh and fish take them. */
const quoted = (text: string): string => `'${text.replaceAll("'", '’').replaceAll('\\', '/')}'`;

const names = (commands: readonly CompletedCommand[]): string => words(commands.map(({ name }) => name));

/** What sh and zsh know of each command; `before` is the word in front, `list` how a shell writes a list of words. */
const cases = (
  commands: readonly CompletedCommand[],
  before: string,
  list: (words: string) => string,
): string =>
  commands
    .map(({ name, flags, words: first }) => {
      const choices = flags.filter((flag) => flag.choices.length > 0);
      return `    ${plain(name)})
      flags=${list(words(flags.map((flag) => flag.name)))} first=${list(words(first))}
      case "${before}" in
${choices.map((flag) => `        ${plain(flag.name)}) choices='${words(flag.choices)}' ;;`).join('\n')}
      esac ;;`;
    })
    .join('\n');

const bash: Shell = (
  program,
  commands,
) => `# ${program} for bash: source it, or put it where bash-completion looks
_${program}() {
  local cur=\${COMP_WORDS[COMP_CWORD]} prev=\${COMP_WORDS[COMP_CWORD-1]} choices= flags= first=
  COMPREPLY=()
  if ((COMP_CWORD == 1)); then
    COMPREPLY=($(compgen -W '${names(commands)}' -- "$cur"))
    return
  fi
  case "\${COMP_WORDS[1]}" in
${cases(commands, '$prev', (list) => `'${list}'`)}
  esac
  if [[ -n $choices ]]; then
    COMPREPLY=($(compgen -W "$choices" -- "$cur"))
  elif [[ $cur == -* ]]; then
    COMPREPLY=($(compgen -W "$flags" -- "$cur"))
  elif ((COMP_CWORD == 2)) && [[ -n $first ]]; then
    COMPREPLY=($(compgen -W "$first" -- "$cur"))
  else
    compopt -o filenames 2>/dev/null
    COMPREPLY=($(compgen -f -- "$cur"))
  fi
}
complete -F _${program} ${program}
`;

const zsh: Shell = (program, commands) => `#compdef ${program}
# ${program} for zsh: put it as _${program} into a folder of $fpath
_${program}() {
  local -a flags first
  local choices=
  if ((CURRENT == 2)); then
    local -a all=(
${commands.map(({ name, summary }) => `      ${quoted(`${name}:${summary}`)}`).join('\n')}
    )
    _describe command all
    return
  fi
  case $words[2] in
${cases(commands, '$words[CURRENT-1]', (list) => `(${list})`)}
  esac
  if [[ -n $choices ]]; then compadd -- \${=choices}
  elif [[ $words[CURRENT] == -* ]]; then compadd -- $flags
  elif ((CURRENT == 3 && $#first > 0)); then compadd -- $first
  else _files
  fi
}
compdef _${program} ${program}
`;

const fish: Shell = (program, commands) =>
  [
    `# ${program} for fish: put it as ${program}.fish into ~/.config/fish/completions`,
    `complete -c ${program} -n __fish_use_subcommand -f`,
    ...commands.map(
      ({ name, summary }) =>
        `complete -c ${program} -n __fish_use_subcommand -a ${plain(name)} -d ${quoted(summary)}`,
    ),
    ...commands.flatMap(({ name, flags, words: first }) => [
      ...(first.length > 0
        ? [`complete -c ${program} -n '__fish_seen_subcommand_from ${name}' -a '${words(first)}'`]
        : []),
      ...flags.map(({ name: flag, summary, takesValue, choices }) => {
        const value = choices.length > 0 ? ` -x -a '${words(choices)}'` : takesValue ? ' -r' : '';
        return `complete -c ${program} -n '__fish_seen_subcommand_from ${name}' -l ${plain(flag.slice(2))}${value} -d ${quoted(summary)}`;
      }),
    ]),
    '',
  ].join('\n');

/** The shells there are scripts for. */
export const shells: Readonly<Record<string, Shell>> = { bash, zsh, fish };
