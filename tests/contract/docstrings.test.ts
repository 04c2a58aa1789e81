import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const src = join(import.meta.dirname, '../../src');
const EXPORT =
  /^export (?:abstract |async |declare )*(?:function\*?|const|let|class|interface|type|enum) ([\w$]+)/;

/** Exports of a module without a doc comment on the line above; what is passed on from elsewhere has its own there. */
function bare(text: string): string[] {
  const lines = text.split('\n');
  return lines.flatMap((line, i) => {
    const name = EXPORT.exec(line)?.[1];
    if (name === undefined) return [];
    const above = lines[i - 1] ?? '';
    const start = above.endsWith('*/')
      ? lines.slice(0, i).findLast((one) => /^\s*\/\*/.test(one))
      : undefined;
    return start?.startsWith('/**') ? [] : [name];
  });
}

const files = ['core', 'api'].flatMap((room) =>
  readdirSync(join(src, room), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(room, name)),
);

test('whatever core and api export says what it is', () => {
  expect(files.length).toBeGreaterThan(250);
  const found = files.flatMap((file) =>
    bare(readFileSync(join(src, file), 'utf8')).map((name) => `${file.replaceAll('\\', '/')}: ${name}`),
  );
  expect(found).toEqual([]);
});

test.each([
  ['/** Said. */\nexport const a = 1;\n', []],
  ['/**\n * Said.\n */\nexport async function a() {}\n', []],
  ['export const a = 1;\n', ['a']],
  ['/* no doc comment */\nexport type A = 1;\n', ['A']],
  ['/** Said. */\nexport type A = 1;\nexport interface B {}\n', ['B']],
  ['/** Of another. */\n\nexport function* a() {}\n', ['a']],
  ["export { a } from './a.ts';\nexport type { A } from './a.ts';\nconst b = 1;\n", []],
])('the test sees what is not said: %j', (text, names) => expect(bare(text)).toEqual(names));
