import { spawn } from 'node:child_process';
import modules from 'node:module';
import { execPath } from 'node:process';

/** How a drawing is to be drawn; without a file it is only parsed. */
export interface DrawOrder {
  readonly density: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly file: string | null;
  /** What is written: its transparency, its colours over paper, or its grey over paper. */
  readonly as: 'alpha' | 'srgb' | 'b-w';
}

/** Told when a drawing took more processor time or memory than its size allows. */
export class TooCostly extends Error {
  readonly limitS: number;
  constructor(limitS: number) {
    super(`drawing it takes more than ${limitS} s of processor time, or too much memory`);
    this.limitS = limitS;
  }
}

// Whole, so that sources, build and bundle need not each find a file of their own. It is stopped by the one who started it,
// not by the key that stops a run at the terminal, which all processes there are told of.
const DRAW = `
process.on('SIGINT', () => undefined);
const [library, words] = process.argv.slice(-2);
const { density, widthPx, heightPx, file, as } = JSON.parse(words);
async function draw() {
  const text = require('node:fs').readFileSync(0);
  const drawing = require(library)(text, { density, limitInputPixels: false, failOn: 'warning', sequentialRead: true });
  if (file === null) return drawing.metadata();
  drawing.resize(widthPx, heightPx, { fit: 'fill' });
  if (as === 'alpha') drawing.ensureAlpha().extractChannel('alpha');
  else drawing.flatten({ background: '#ffffff' }).toColourspace(as);
  return drawing.toFile(file);
}
draw().catch((error) => {
  console.error(error.message);
  process.exitCode = 1;
});`;

const library = (): string => modules.createRequire(import.meta.url).resolve('sharp');

/** Processor time a drawing may take: parsing, then a second for each whole million pixels; a small plate is done in 5 s with it. */
const limitOf = ({ file, widthPx, heightPx }: DrawOrder): number =>
  3 + (file === null ? 0 : Math.floor((widthPx * heightPx) / 1e6));
const PARSING_KB = 420_000;
const KB_A_PX = 1;
/** Where the system counts no processor time for us, the clock must do; and it ends what sleeps. */
const CLOCK_FOR_PROCESSOR = 20;

const words = (text: string): string => text.trim().split('\n').slice(-3).join(' ').slice(0, 500);

/**
 * Parses or draws a drawing in a process of its own, held to a limit of processor time and memory: a few words of SVG can
 * ask for years of work, and what the drawing library has begun, only the end of its process stops. Throws TooCostly, or an
 * Error with the library's words.
 */
export function drawApart(text: Uint8Array, order: DrawOrder, signal?: AbortSignal): Promise<void> {
  const limitS = limitOf(order);
  const memoryKb = PARSING_KB + Math.ceil((KB_A_PX * order.widthPx * order.heightPx) / 1000);
  const args = ['--eval', DRAW, '--', library(), JSON.stringify(order)];
  return new Promise((resolve, reject) => {
    // POSIX `ulimit`: -t is processor time in seconds; -d, what is written to in memory, holds on Linux
    const limits = `ulimit -t ${limitS}; ulimit -d ${memoryKb} 2>/dev/null; exec "$0" "$@"`;
    const child = spawn('sh', ['-c', limits, execPath, ...args], {
      stdio: ['pipe', 'ignore', 'pipe'],
      killSignal: 'SIGKILL',
      timeout: limitS * CLOCK_FOR_PROCESSOR * 1000,
      ...(signal && { signal }),
    });
    let told = '';
    child.stderr.on('data', (piece: Buffer) => {
      if (told.length < 10_000) told += piece.toString();
    });
    child.stdin.on('error', () => undefined);
    child.stdin.end(text);
    child.on('error', reject);
    child.on('close', (code, killed) => {
      if (killed !== null || (code !== 0 && code !== 1)) reject(new TooCostly(limitS));
      else if (code === 0) resolve();
      else reject(new Error(words(told)));
    });
  });
}
