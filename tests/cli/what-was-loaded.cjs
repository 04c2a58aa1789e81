// Loaded in front of a run (NODE_OPTIONS=--require): writes at its end which files and libraries it had loaded.
const { writeFileSync } = require('node:fs');
const Module = require('node:module');

const list = process.env.LOADED_LIST;
process.report.excludeNetwork = true;
process.on('exit', () => {
  const { sharedObjects } = process.report.getReport();
  writeFileSync(list, [...Object.keys(Module._cache), ...sharedObjects].join('\n'));
});
