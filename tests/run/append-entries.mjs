// Adds entries to a notebook as a run does: append-entries.mjs <notebook> <writer> <count>
import { openNotebook } from '../../dist/run/records/notebook.js';

const [path, writer, count] = process.argv.slice(2);
const notebook = await openNotebook(path, () => new Date(0));
for (let i = 0; i < Number(count); i++) {
  const words = `${writer}-${i} ${'x'.repeat(i * 37)}`;
  await notebook.add({ kind: 'note', about: 'e00000000001', seen: { words: words.slice(0, 2000) } });
}
await notebook.close();
