/** A source file as the checks see it; `file` from the top folder, with forward slashes. */
export interface SourceFile {
  readonly file: string;
  readonly text: string;
}

/** One place where a wall between the rooms of src/ is broken. */
export interface Breach {
  readonly file: string;
  readonly what: string;
}

/** Which rooms each room may import from, besides itself. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  api: ['cli', 'run', 'report', 'store', 'job', 'core'],
  cli: ['run', 'report', 'store', 'job', 'core'],
  run: ['job', 'io', 'report', 'store', 'core'],
  report: ['job', 'core'],
  store: ['job', 'core'],
  io: ['core'],
  job: ['core'],
  core: [],
};

/** Packages that only some places may import. */
const KEPT_PACKAGES: Readonly<Record<string, RegExp>> = {
  commander: /^src\/cli\//,
  chalk: /^src\/cli\//,
  sharp: /^src\/(io\/|run\/tool\.ts$)/,
};

const CORE_MAY_IMPORT = new Set([
  'zod',
  'ml-matrix',
  'maxrects-packer/dist/maxrects-packer.mjs',
  'clipper2-ts',
]);
const OUTSIDE_OF_CORE =
  /(?<![\w$.])(Date|process|console|performance|Buffer|globalThis|crypto|fetch|require|setTimeout|setInterval|Math\.random|import\.meta)(?![\w$]|\s*:)/g;
const PROCESS = /(?<![\w$.])(process)(?![\w$]|\s*:)/g;

const COMMENTS_AND_WORDS =
  /(\/\*[\s\S]*?\*\/|\/\/.*)|('(?:\\.|[^'\\\n])*'|"(?:\\.|[^"\\\n])*")|`((?:\\.|[^`\\])*)`|(?<=(?:[(,=:[!&|?{};]|=>|return)\s*)\/(?![*/])(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n[])+\/[a-z]*/g;

/** The code without comments; a hash sign of a colour or `//` in a text is no comment. */
const withoutComments = (text: string): string =>
  text.replace(COMMENTS_AND_WORDS, (whole, comment: string | undefined) => (comment ? ' ' : whole));

/** The code without comments and texts; of a template only what is computed in it stays. */
const codeOnly = (text: string): string =>
  text.replace(COMMENTS_AND_WORDS, (_, _comment, _words, template: string | undefined) =>
    template ? [...template.matchAll(/\$\{([^}]*)\}/g)].map(([, code]) => ` ${code} `).join(';') : ' ',
  );

/** Every module that a file names: imports, re-exports, types, `import()`. */
function importsOf(text: string): string[] {
  const code = withoutComments(text);
  const named = [...code.matchAll(/(?<![\w$.])(?:from|import)\s*\(?\s*(['"])([^'"\n]+)\1/g)];
  const computed = /(?<![\w$.])import\s*\(\s*(?!['"\s])/.test(code) ? ['(computed)'] : [];
  return [...named.map(([, , name]) => name!), ...computed];
}

/** `src/core/a.ts` + `../io/b.ts` → `src/io/b.ts`. */
function resolved(from: string, name: string): string {
  const path = from.split('/').slice(0, -1);
  for (const step of name.split('/')) {
    if (step === '..') path.pop();
    else if (step !== '.') path.push(step);
  }
  return path.join('/');
}

const roomOf = (file: string): string => file.split('/')[1] ?? '';
const isRelative = (name: string): boolean => name.startsWith('.');

function importBreaches({ file, text }: SourceFile): string[] {
  const room = roomOf(file);
  const allowed = MAY_IMPORT[room];
  if (!allowed) return [`${room} is not a room of src/`];
  return importsOf(text).flatMap((name) => {
    if (name === '(computed)') return ['imports a computed name, which no wall can check'];
    if (!isRelative(name)) {
      const keeper = KEPT_PACKAGES[name];
      if (keeper && !keeper.test(file)) return [`imports ${name}`];
      return room === 'core' && !CORE_MAY_IMPORT.has(name) ? [`imports ${name}`] : [];
    }
    const target = resolved(file, name);
    if (!target.startsWith('src/')) return [`imports ${name}, which lies outside src/`];
    const other = roomOf(target);
    return other === room || allowed.includes(other) ? [] : [`imports ${other} (${name})`];
  });
}

function nameBreaches({ file, text }: SourceFile): string[] {
  const forbidden = { core: OUTSIDE_OF_CORE, io: PROCESS }[roomOf(file)];
  if (!forbidden) return [];
  return [...codeOnly(text).matchAll(forbidden)].map(([, name]) => `uses ${name}`);
}

/** Import cycles, types included; each told once, from the file that comes first by name. */
function cycles(sources: readonly SourceFile[]): Breach[] {
  const known = new Set(sources.map(({ file }) => file));
  const graph = new Map(
    sources.map(({ file, text }) => [
      file,
      importsOf(text)
        .filter(isRelative)
        .map((name) => resolved(file, name))
        .filter((target) => known.has(target)),
    ]),
  );
  const found = new Map<string, Breach>();
  const done = new Set<string>();
  const walk = (file: string, trail: readonly string[]): void => {
    const at = trail.indexOf(file);
    if (at >= 0) {
      const ring = trail.slice(at);
      const first = [...ring].sort()[0]!;
      const turned = [...ring.slice(ring.indexOf(first)), ...ring.slice(0, ring.indexOf(first)), first];
      found.set(turned.join(), { file: first, what: `import cycle: ${turned.join(' → ')}` });
      return;
    }
    if (done.has(file)) return;
    for (const next of graph.get(file) ?? []) walk(next, [...trail, file]);
    done.add(file);
  };
  for (const file of [...known].sort()) walk(file, []);
  return [...found.values()];
}

/** Every breach of the walls in these files: wrong imports, forbidden names, cycles. */
export const breachesIn = (sources: readonly SourceFile[]): Breach[] => [
  ...sources.flatMap((source) =>
    [...importBreaches(source), ...nameBreaches(source)].map((what) => ({ file: source.file, what })),
  ),
  ...cycles(sources),
];
