import { materials } from '../../src/core/materials/index.ts';
import { outlines } from '../../src/core/outlines/index.ts';
import { processes } from '../../src/core/processes/index.ts';
import { kernels } from '../../src/core/screens/diffusion/index.ts';
import { screens } from '../../src/core/screens/index.ts';
import { formats } from '../../src/io/formats/index.ts';
import { bitsOf, resolveJob } from '../../src/job/layers.ts';
import { jobSettings, type Setting, screensWith, settingsOf } from '../../src/job/settings.ts';
import { rangeWords } from '../../src/job/values.ts';
import { runSchema } from '../../src/run/settings.ts';

/** The settings as each process resolves them when nothing but the process is given. */
const resolvedByProcess = Object.keys(processes).map((process) => {
  const { job, problems } = resolveJob([{ origin: 'flag', name: '', values: { process } }]);
  if (!job) throw new Error(`${process} alone is no job: ${problems.map(({ message }) => message).join()}`);
  return { process, values: bitsOf(job) };
});

const shown = (value: unknown): string => (Array.isArray(value) ? value.join(',') : String(value));

/** What a setting is when it is not given: its default, or what each process makes of it. */
function unlessGiven(setting: Setting): string {
  if (setting.type === 'switch') return setting.fallback === true ? 'on' : 'off';
  if (setting.fallback !== null) return shown(setting.fallback);
  if (setting.unlessGiven !== null) return setting.unlessGiven;
  const values = resolvedByProcess.map(({ values }) => values[setting.key]);
  if (setting.key === 'process' || values.every((value) => value === undefined)) return '–';
  if (new Set(values).size === 1) return shown(values[0]);
  return resolvedByProcess
    .map(({ process, values }) => `${process}: ${shown(values[setting.key])}`)
    .join('; ');
}

function row(setting: Setting, inJobFile: boolean): string {
  const owners = screensWith(setting.key);
  const owned = owners.length > 0 ? `*${owners.join(', ')}:* ` : '';
  const range = setting.names ?? rangeWords(setting).replace('one of ', '');
  const cells = [
    `\`--${setting.fallback === true ? 'no-' : ''}${setting.flag}\``,
    inJobFile ? `\`${setting.key}\`` : '–',
    setting.type === 'switch' ? '–' : range,
    unlessGiven(setting),
    owned + setting.description,
  ];
  return `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
}

/** The README's table of settings, written from the one description. */
export function settingsTable(): string {
  const rows = [
    ...jobSettings.map((setting) => ({ setting, inJobFile: true })),
    ...settingsOf(runSchema).map((setting) => ({ setting, inJobFile: false })),
  ];
  const groups = [...new Set(rows.map(({ setting }) => setting.group))];
  return groups
    .map((group) =>
      [
        `**${group[0]!.toUpperCase()}${group.slice(1)}**`,
        '',
        '| flag | in a job file | takes | unless given | meaning |',
        '|---|---|---|---|---|',
        ...rows
          .filter(({ setting }) => setting.group === group)
          .map(({ setting, inJobFile }) => row(setting, inJobFile)),
      ].join('\n'),
    )
    .join('\n\n');
}

/** The README's lists of what there is, written from the registries. */
export function registryLists(): string {
  const registries = { processes, screens, kernels, outlines, formats, materials };
  return Object.entries(registries)
    .map(([name, registry]) =>
      [
        `**${name[0]!.toUpperCase()}${name.slice(1)}**`,
        '',
        ...Object.entries<{ summary: string }>(registry).map(
          ([kind, { summary }]) => `- \`${kind}\`: ${summary}`,
        ),
      ].join('\n'),
    )
    .join('\n\n');
}

/** A part of a text between two comment markers; null where there is none. */
function markedPart(text: string, name: string): { start: number; end: number } | null {
  const begin = `<!-- ${name}: written by the tests, do not edit -->\n`;
  const end = `\n<!-- ${name}: end -->`;
  const start = text.indexOf(begin);
  const stop = text.indexOf(end);
  return start < 0 || stop < start ? null : { start: start + begin.length, end: stop };
}

/** The text with a marked part replaced. Throws when the markers are not there. */
export function withPart(text: string, name: string, part: string): string {
  const marked = markedPart(text, name);
  if (!marked) throw new Error(`the README has no part marked "${name}"`);
  return text.slice(0, marked.start) + part + text.slice(marked.end);
}

const SAMPLE = /^( *)```text\n([\s\S]*?)^ *```$/m;

/** The first block of a text that shows what the program says, as printed; empty where there is none. */
export function sampleOutput(text: string): string {
  const [, indent = '', block = ''] = SAMPLE.exec(text) ?? [];
  return block.replaceAll(new RegExp(`^${indent}`, 'gm'), '');
}

/** The text with that block replaced by what the program says. */
export const withSample = (text: string, output: string): string =>
  text.replace(
    SAMPLE,
    (_, indent: string) => `${indent}\`\`\`text\n${output.replaceAll(/^(?=.)/gm, indent)}${indent}\`\`\``,
  );

/** The blocks of a text that are in so many kinds of language, in order: their kind and what stands in them. */
export const blocksOf = (text: string): { readonly kind: string; readonly code: string }[] =>
  [...text.matchAll(/^( *)```(\w+)\n([\s\S]*?)^ *```$/gm)].map(([, indent, kind, code]) => ({
    kind: kind!,
    code: code!.replaceAll(new RegExp(`^${indent}`, 'gm'), ''),
  }));

/** The command lines of a text's `sh` blocks, continued lines joined, in order. */
export const commandLines = (text: string): string[] =>
  [...text.matchAll(/^ *```sh\n([\s\S]*?)^ *```$/gm)].flatMap(([, block]) =>
    block!
      .replaceAll('\\\n', ' ')
      .split('\n')
      .map((line) => line.trim())
      .filter((line) => line !== '' && !line.startsWith('#')),
  );
