import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

interface Locked {
  readonly hasInstallScript?: boolean;
  readonly dev?: boolean;
  readonly resolved?: string;
  readonly integrity?: string;
}

const root = join(import.meta.dirname, '../..');
const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as {
  readonly packages: Readonly<Record<string, Locked>>;
};
const used = Object.entries(packages).filter(([path, { dev }]) => path !== '' && !dev);

test('of what the program needs, only sharp runs anything when it is installed', () => {
  expect(used.length).toBeGreaterThan(9);
  const running = used.filter(([, { hasInstallScript }]) => hasInstallScript).map(([path]) => path);
  expect(running.filter((path) => path !== 'node_modules/sharp')).toEqual([]);
});

test('every package is held to its bytes', () => {
  for (const [path, { integrity }] of used) expect(integrity, path).toMatch(/^sha512-/);
});
