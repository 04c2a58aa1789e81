import { EtchError } from '../../core/errors.ts';
import { materials } from '../../core/materials/index.ts';
import { outlines } from '../../core/outlines/index.ts';
import { processes } from '../../core/processes/index.ts';
import { screens } from '../../core/screens/index.ts';
import { separations } from '../../core/separations/index.ts';
import { settingByKey } from '../../job/settings.ts';
import { EXIT } from '../exit-codes.ts';
import type { CommandDef } from './contract.ts';

interface Row {
  readonly name: string;
  readonly summary: string;
}

const rowsOf = (registry: Record<string, { kind: string; summary: string }>): Row[] =>
  Object.values(registry).map(({ kind, summary }) => ({ name: kind, summary }));

/** What can be listed; each list is made from its registry when asked for. */
const lists: Readonly<Record<string, () => Promise<Row[]>>> = {
  processes: async () => rowsOf(processes),
  screens: async () => rowsOf(screens),
  separations: async () => rowsOf(separations),
  aids: async () => rowsOf((await import('../../core/register/index.ts')).aids),
  papers: async () => {
    const { paperNames, parsePaperSize } = await import('../../job/paper-sizes.ts');
    return paperNames.map((name) => {
      const { widthMm, heightMm } = parsePaperSize(name)!;
      return { name, summary: `${widthMm} × ${heightMm} mm` };
    });
  },
  kernels: async () => {
    const { kernels } = await import('../../core/screens/diffusion/index.ts');
    return (settingByKey.get('kernel')?.choices ?? []).map((name) => ({
      name,
      summary: kernels[name as keyof typeof kernels].summary,
    }));
  },
  shapes: async () => rowsOf((await import('../../core/screens/dot/spot-functions.ts')).spotFunctions),
  outlines: async () => rowsOf(outlines),
  materials: async () => rowsOf(materials),
  formats: async () => rowsOf((await import('../../run/formats.ts')).formats),
};

export const list: CommandDef = {
  name: 'list',
  usage: '[what]',
  summary: `what there is: ${Object.keys(lists).join(', ')}; without a word, these`,
  examples: ['etchwright list screens', 'etchwright list formats --json'],
  configure: () => undefined,
  async run([what], _command, talk) {
    if (what === undefined) {
      const names = Object.keys(lists);
      talk.result(talk.json ? JSON.stringify(names) : names.join('\n'));
      return EXIT.done;
    }
    const make = Object.hasOwn(lists, what) ? lists[what] : undefined;
    if (!make)
      throw new EtchError(
        'usage',
        'unknown-list',
        `There is no list of "${what}"`,
        `Ask for one of: ${Object.keys(lists).join(', ')}.`,
      );
    const rows = await make();
    if (talk.json) talk.result(JSON.stringify(rows, null, 2));
    else {
      const width = Math.max(...rows.map(({ name }) => name.length)) + 2;
      talk.result(rows.map(({ name, summary }) => `${name.padEnd(width)}${summary}`).join('\n'));
    }
    return EXIT.done;
  },
};
