import * as z from 'zod';
import { curveFileSchema } from '../../core/calibration/curve-file.ts';
import { wedgeSchema } from '../../core/calibration/wedge-file.ts';
import { EtchError } from '../../core/errors.ts';
import { testPlateSchema } from '../../core/testplate/layout.ts';
import { jobJsonSchema, workshopJsonSchema } from '../../job/json-schema.ts';
import { batchSchema } from '../../report/batch/schema.ts';
import { testPlateReportSchema } from '../../report/calibration/testplate-schema.ts';
import { checkSchema } from '../../report/check-schema.ts';
import { gangSchema } from '../../report/gang/schema.ts';
import { remakeSchema } from '../../report/remake-schema.ts';
import { reportSchema } from '../../report/schema.ts';
import { setSchema } from '../../report/set/schema.ts';
import { slotsSchema } from '../../report/slots-schema.ts';
import { ledgerEntrySchema } from '../../store/edition/entry.ts';
import { entrySchema } from '../../store/notebook/entry.ts';
import { EXIT } from '../exit-codes.ts';
import type { CommandDef } from './contract.ts';

const schemas: Readonly<Record<string, () => Record<string, unknown>>> = {
  job: jobJsonSchema,
  workshop: workshopJsonSchema,
  batch: () => ({ ...z.toJSONSchema(batchSchema), title: 'etchwright batch' }),
  check: () => ({ ...z.toJSONSchema(checkSchema), title: 'etchwright check' }),
  gang: () => ({ ...z.toJSONSchema(gangSchema), title: 'etchwright gang' }),
  set: () => ({ ...z.toJSONSchema(setSchema), title: 'etchwright set' }),
  curve: () => ({ ...z.toJSONSchema(curveFileSchema), title: 'etchwright curve' }),
  wedge: () => ({ ...z.toJSONSchema(wedgeSchema), title: 'etchwright wedge' }),
  testplate: () => ({ ...z.toJSONSchema(testPlateSchema), title: 'etchwright test plate' }),
  'testplate-report': () => ({
    ...z.toJSONSchema(testPlateReportSchema),
    title: 'etchwright report of a test plate',
  }),
  remake: () => ({ ...z.toJSONSchema(remakeSchema), title: 'etchwright remake' }),
  notebook: () => ({ ...z.toJSONSchema(entrySchema), title: 'etchwright notebook entry' }),
  edition: () => ({
    ...z.toJSONSchema(ledgerEntrySchema, { io: 'input' }),
    title: 'etchwright edition entry',
  }),
  slots: () => ({ ...z.toJSONSchema(slotsSchema), title: 'etchwright slots' }),
  report: () => ({ ...z.toJSONSchema(reportSchema), title: 'etchwright report' }),
};

export const schema: CommandDef = {
  name: 'schema',
  usage: '[name]',
  summary: `JSON Schema of ${Object.keys(schemas).join(' or ')}; without a name, the names`,
  examples: ['etchwright schema report', 'etchwright schema job > job.schema.json'],
  configure: () => undefined,
  async run([name], _command, talk) {
    if (name === undefined) {
      const names = Object.keys(schemas);
      talk.result(talk.json ? JSON.stringify(names) : names.join('\n'));
      return EXIT.done;
    }
    const make = Object.hasOwn(schemas, name) ? schemas[name] : undefined;
    if (!make)
      throw new EtchError(
        'usage',
        'unknown-schema',
        `There is no schema "${name}"`,
        `Ask for one of: ${Object.keys(schemas).join(', ')}.`,
      );
    talk.result(JSON.stringify(make(), null, 2));
    return EXIT.done;
  },
};
