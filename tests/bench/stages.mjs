import { createHash } from 'node:crypto';
import { fstatSync, readSync } from 'node:fs';
import { countBits, createBitmap } from '../../dist/core/bitmap.js';
import { finishRows } from '../../dist/core/plate.js';
import { processes } from '../../dist/core/processes/index.js';
import { openResampler, TONE_CENTRE } from '../../dist/core/resample/index.js';
import { screens } from '../../dist/core/screens/index.js';
import { openThinLines } from '../../dist/core/thin-lines.js';
import { toneTable } from '../../dist/core/tone.js';
import { formats } from '../../dist/io/formats/index.js';
import { openRows } from '../../dist/io/rows.js';
import { openBench } from '../../dist/run/bench.js';

/** Each screen with its defaults, and once more for each value of a setting that is a choice of names, such as a kernel. */
function screenVariants() {
  return Object.values(screens)
    .filter(({ draws }) => draws === 'bits')
    .flatMap((def) => {
      const choices = Object.entries(def.params.shape).flatMap(([key, field]) =>
        field.def.innerType.def.type === 'enum'
          ? field.unwrap().options.map((value) => ({ [key]: value }))
          : [],
      );
      return (choices.length === 0 ? [{}] : choices).map((chosen) => ({
        def,
        params: def.params.parse(chosen),
        title: [def.kind, ...Object.values(chosen)].join(' '),
      }));
    });
}

/** The picture as tone rows in memory, so that a stage behind the reading is measured without it. */
function toneSourceOf(setup) {
  const rows = openRows(setup.scratch, setup.orientation);
  const { widthPx, heightPx } = rows;
  const table = Int16Array.from(toneTable(setup.codes, setup.plan.tone), (tone) => tone - TONE_CENTRE);
  const tones = new Int16Array(widthPx * heightPx);
  const codes = rows.newRow();
  for (let y = 0; y < heightPx; y++) {
    rows.read(y, codes);
    for (let x = 0; x < widthPx; x++) tones[y * widthPx + x] = table[codes[x]];
  }
  return {
    widthPx,
    heightPx,
    tones,
    readRow: (y, into, at) => into.set(tones.subarray(y * widthPx, (y + 1) * widthPx), at),
  };
}

function readingStages({ scratch, codes: sourceCodes, plan }) {
  const px = scratch.widthPx * scratch.heightPx;
  const table = Int16Array.from(toneTable(sourceCodes, plan.tone), (tone) => tone - TONE_CENTRE);
  const reading = (orientation) => () => {
    const rows = openRows(scratch, orientation);
    const codes = rows.newRow();
    const tones = new Int16Array(rows.widthPx);
    for (let y = 0; y < rows.heightPx; y++) {
      rows.read(y, codes);
      for (let x = 0; x < codes.length; x++) tones[x] = table[codes[x]];
    }
  };
  return [
    { title: 'rows and tone table', px, run: reading(1) },
    { title: 'rows and tone table, orientation 6', px, run: reading(6) },
  ];
}

function resampleStage(title, source, { x, y, box }) {
  const tone = new Uint16Array(box.widthPx);
  const run = () => {
    const row = openResampler(source, x, y);
    for (let at = 0; at < box.heightPx; at++) row(at, tone);
  };
  return { title, px: box.widthPx * box.heightPx, run };
}

/** A stage for each screen, with the bits it makes. */
function screenStages(source, { plan, bitmap }) {
  const { widthPx, heightPx, strideBytes } = bitmap;
  const resample = openResampler(source, plan.layout.x, plan.layout.y);
  const tones = Array.from({ length: heightPx }, (_, y) => {
    const tone = new Uint16Array(widthPx);
    resample(y, tone);
    return tone;
  });
  const { place } = plan.screen;
  const context = { ...place, widthPx, firstRow: 0 };
  const px = widthPx * heightPx;
  return screenVariants().map(({ def, params, title }) => {
    const bits = new Uint8Array(bitmap.data.length);
    const settled = def.settle?.(params, place) ?? params;
    const tables = def.build?.(settled, place);
    const run = () => {
      const row = def.open(settled, context, tables);
      for (let y = 0; y < heightPx; y++) row(tones[y], y, bits, y * strideBytes);
    };
    run();
    return { title, px, run, bits, packing: def.packs };
  });
}

function plateStages({ plan, bitmap }, source, bits) {
  const { widthPx, heightPx, data } = bitmap;
  const px = widthPx * heightPx;
  const plate = createBitmap(widthPx, heightPx);
  plate.data.set(bits);
  const finish = { ...plan.finish, etches: 'paper', mirror: true };
  const thinLines = () => {
    const counter = openThinLines(source.widthPx, 2, 2, 0);
    for (let y = 0; y < source.heightPx; y++) counter.row(source.tones, y * source.widthPx);
    counter.finish();
  };
  return [
    { title: 'finish: turn over and mirror', px, run: () => finishRows(plate, finish, 0, heightPx) },
    { title: 'count', px, run: () => countBits(bits) },
    { title: 'thin lines', px: source.widthPx * source.heightPx, run: thinLines },
    { title: 'sha256', px, run: () => createHash('sha256').update(data).digest('hex') },
  ];
}

/** Screens pack differently well, formats alike: so PNG for every screen, and every format for the first. */
function encodeStages({ bitmap, head }, screened) {
  const px = bitmap.widthPx * bitmap.heightPx;
  const stage = ({ kind, encodeBand }, { title, bits, packing }) => ({
    title: `encode ${kind}, ${title}`,
    px,
    run: () => encodeBand(bits, { ...head, packing }, 0),
  });
  const { png, ...others } = formats;
  return [
    ...screened.map((screen) => stage(png, screen)),
    ...Object.values(others).map((format) => stage(format, screened[0])),
  ];
}

/** What the beam really etches, and what will not hold: the judging of a plate of scattered pixels. */
function judgingStages(setup) {
  const px = setup.bitmap.widthPx * setup.bitmap.heightPx;
  const bench = openBench();
  bench.add(setup);
  const stage = (title, task) => ({ title, px, run: () => bench.run({ plate: setup.id, ...task }) });
  return [
    stage('predict what is etched', { do: 'predict', args: [0] }),
    stage('extents of columns', { do: 'columns', args: [] }),
    ...Object.values(processes).map(({ kind, holds }) =>
      stage(`hold, ${kind}`, { do: 'hold', args: [holds] }),
    ),
  ];
}

/** Reading back what `write` puts into a file, compared bit by bit as every run does. */
async function readBackStages(setup, write) {
  const { bitmap, head, id } = setup;
  const bench = openBench();
  bench.add(setup);
  const stages = [];
  for (const { kind, encodeBand, assemble, locate } of Object.values(formats)) {
    const fd = write(kind, await assemble(head, [encodeBand(bitmap.data, head, 0)]));
    const readAt = (offset, bytes) => {
      const into = new Uint8Array(bytes);
      return into.subarray(0, readSync(fd, into, 0, bytes, offset));
    };
    const located = locate(readAt, fstatSync(fd).size);
    const run = () => {
      for (const band of located.bands.keys())
        if (bench.run({ do: 'verify', plate: id, args: [kind, fd, located, band] }) !== 0)
          throw new Error(`${kind} reads back differently`);
    };
    stages.push({ title: `read back ${kind}`, px: bitmap.widthPx * bitmap.heightPx, run });
  }
  return stages;
}

/**
 * Every stage of the work on one band of a plate: title, pixels, and the work itself. The stage `count` is the measure
 * of all others. `reduced` is a layout of the same picture with fewer pixels than it has; `write` keeps a file open.
 */
export async function stagesOf(setup, reduced, write) {
  const source = toneSourceOf(setup);
  const screened = screenStages(source, setup);
  const { bits } = screened[0];
  setup.bitmap.data.set(bits);
  return [
    ...readingStages(setup),
    resampleStage('resample, six taps', source, setup.plan.layout),
    resampleStage('resample, reducing', source, reduced),
    ...screened,
    ...plateStages(setup, source, bits),
    ...judgingStages(setup),
    ...encodeStages(setup, screened),
    ...(await readBackStages(setup, write)),
  ];
}
