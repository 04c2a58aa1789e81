import { spawnSync } from 'node:child_process';
import { readdirSync, realpathSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const script = fileURLToPath(new URL('pillow.py', import.meta.url));

const namesIn = (folder) => {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
};

/** Every python3 on the search path, each once whatever it is called. */
function pythons() {
  const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  const found = folders.flatMap((folder) =>
    namesIn(folder)
      .filter((name) => /^python3(\.\d+)?$/.test(name))
      .map((name) => realpathSync(join(folder, name))),
  );
  return [...new Set(found)];
}

/** The first python3 that has Pillow, with Pillow's version; null where none has. */
export function findPillow() {
  for (const python of pythons()) {
    const asked = spawnSync(python, ['-c', 'import PIL; print(PIL.__version__)'], { encoding: 'utf8' });
    if (asked.status === 0) return { python, version: asked.stdout.trim() };
  }
  return null;
}

/** The command line of one run of Pillow. */
export const pillowRun = ({ python }, picture, target, { widthPx, heightPx, dpi }) => [
  python,
  script,
  picture,
  target,
  String(widthPx),
  String(heightPx),
  String(dpi),
];
