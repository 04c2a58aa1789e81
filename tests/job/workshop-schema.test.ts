import { expect, test } from 'vitest';
import { workshopJsonSchema } from '../../src/job/json-schema.ts';

interface Node {
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
}

/** Fields of a schema that nothing is said of, by their place. */
const silent = ({ properties = {}, items }: Node, place = ''): string[] => [
  ...Object.entries(properties).flatMap(([key, node]) => [
    ...(node.description ? [] : [`${place}${key}`]),
    ...silent(node, `${place}${key}.`),
  ]),
  ...(items ? silent(items, place) : []),
];

test('every field of a workshop file is described', () => {
  expect(silent(workshopJsonSchema() as Node)).toEqual([]);
});
