import { EtchError } from '../../core/errors.ts';
import { EXIT } from '../exit-codes.ts';
import { topics } from '../topics/index.ts';
import { topicNames } from '../topics/names.ts';
import type { CommandDef } from './contract.ts';

export const help: CommandDef = {
  name: 'help',
  usage: '[topic]',
  summary: 'about a topic or a command; without a word, what there is',
  examples: ['etchwright help lengths', 'etchwright help prepare'],
  configure: () => undefined,
  async run([asked], command, talk) {
    const program = command.parent!;
    if (asked === undefined) {
      const rows = Object.entries(topics).map(([name, { summary }]) => ({ name, summary }));
      const width = Math.max(...rows.map(({ name }) => name.length)) + 2;
      talk.result(
        talk.json
          ? JSON.stringify(rows, null, 2)
          : `${program.helpInformation()}\nTopics:\n${rows.map(({ name, summary }) => `  ${name.padEnd(width)}${summary}`).join('\n')}`,
      );
      return EXIT.done;
    }
    const named = topicNames.find((name) => name === asked);
    const topic = named ? topics[named] : null;
    const about = program.commands.find((one) => one.name() === asked);
    if (!topic && !about)
      throw new EtchError(
        'usage',
        'unknown-topic',
        `There is no help on "${asked}"`,
        `Ask for a command or one of: ${topicNames.join(', ')}.`,
      );
    if (topic) talk.result(talk.json ? JSON.stringify({ topic: asked, text: topic.text() }) : topic.text());
    else about!.outputHelp();
    return EXIT.done;
  },
};
