import { createHash } from 'node:crypto';
import { fstatSync, readSync } from 'node:fs';
import { countBits, createBitmap } from '../../dist/core/bitmap.js';
import { finishRows } from '../../dist/core/plate.js';
import { processes } from '../../dist/core/processes/index.js';
import { openResampler, TONE_CENTRE } from '../../dist/core/resample/index.js';
import { openPlainFloyd } from '../../dist/core/screens/diffusion/floyd-steinberg.js';
import { screens } from '../../dist/core/screens/index.js';
import { openThinLines } from '../../dist/core/thin-lines.js';
import { toneTable } from '../../dist/core/tone.js';
import { formats } from '../../dist/io/formats/index.js';
import { openRows } from '../../dist/io/rows.js';
import { openBench } from '../../dist/run/bench.js';

/** The stage that all others are told in. */
export const COUNT = 'count';

/** Floyd and Steinberg's way without WebAssembly, which other screens are held to. */
const PLAIN_FLOYD = 'floyd-steinberg, plain loop';

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

/** What is made when it is first asked for, since a thread measures one stage only. */
function once(make) {
  let made;
  return () => {
    made ??= make();
    return made;
  };
}

const toneCodes = ({ codes, plan }) =>
  Int16Array.from(toneTable(codes, plan.tone), (tone) => tone - TONE_CENTRE);

/** The picture as tone rows in memory, so that a stage behind the reading is measured without it. */
function toneSourceOf(setup) {
  const rows = openRows(setup.scratch, setup.orientation);
  const { widthPx, heightPx } = rows;
  const table = toneCodes(setup);
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

/** The picture's rows at the plate's size, in tone. */
function tonesOf(source, { plan, bitmap }) {
  const resample = openResampler(source, plan.layout.x, plan.layout.y);
  return Array.from({ length: bitmap.heightPx }, (_, y) => {
    const tone = new Uint16Array(bitmap.widthPx);
    resample(y, tone);
    return tone;
  });
}

function readingStages(setup) {
  const { scratch } = setup;
  const px = scratch.widthPx * scratch.heightPx;
  const reading = (orientation) => () => {
    const table = toneCodes(setup);
    return () => {
      const rows = openRows(scratch, orientation);
      const codes = rows.newRow();
      const tones = new Int16Array(rows.widthPx);
      for (let y = 0; y < rows.heightPx; y++) {
        rows.read(y, codes);
        for (let x = 0; x < codes.length; x++) tones[x] = table[codes[x]];
      }
    };
  };
  return [
    { title: 'rows and tone table', px, open: reading(1) },
    { title: 'rows and tone table, orientation 6', px, open: reading(6) },
  ];
}

function resampleStage(title, source, { x, y, box }) {
  const open = () => {
    const tone = new Uint16Array(box.widthPx);
    const from = source();
    return () => {
      const row = openResampler(from, x, y);
      for (let at = 0; at < box.heightPx; at++) row(at, tone);
    };
  };
  return { title, px: box.widthPx * box.heightPx, open };
}

/** A stage for each screen; `bits` are those it makes. */
function screenStages(tones, { plan, bitmap }) {
  const { widthPx, heightPx, strideBytes } = bitmap;
  const { place } = plan.screen;
  const context = { ...place, widthPx, firstRow: 0 };
  const px = widthPx * heightPx;
  return screenVariants().map(({ def, params, title }) => {
    const data = new Uint8Array(bitmap.data.length);
    const open = once(() => {
      const settled = def.settle?.(params, place) ?? params;
      const tables = def.build?.(settled, place);
      const rows = tones();
      return () => {
        const row = def.open(settled, context, tables);
        for (let y = 0; y < heightPx; y++) row(rows[y], y, data, y * strideBytes);
      };
    });
    const bits = once(() => {
      open()();
      return data;
    });
    return { kind: def.kind, title, px, open, bits, packing: def.packs };
  });
}

/** Single pixels by a plain loop, pixel after pixel. */
function plainFloydStage(tones, { bitmap }) {
  const { widthPx, heightPx, strideBytes } = bitmap;
  const run = {
    widthPx,
    thresholdTone: 32767,
    scan: 'serpentine',
    sides: 'keep',
    noise: 1,
    seed: 1,
    plate: 0,
  };
  const open = () => {
    const data = new Uint8Array(bitmap.data.length);
    const rows = tones();
    return () => {
      const row = openPlainFloyd({ ...run, firstRow: 0 });
      for (let y = 0; y < heightPx; y++) row(rows[y], y, data, y * strideBytes);
    };
  };
  return { title: PLAIN_FLOYD, px: widthPx * heightPx, open };
}

function plateStages({ scratch, plan, bitmap }, source, bits) {
  const { widthPx, heightPx } = bitmap;
  const px = widthPx * heightPx;
  const finish = { ...plan.finish, etches: 'paper', mirror: true };
  const finishing = () => {
    const plate = createBitmap(widthPx, heightPx);
    plate.data.set(bits());
    return () => finishRows(plate, finish, 0, heightPx);
  };
  const counting = () => {
    const data = bits();
    return () => countBits(data);
  };
  const hashing = () => {
    const data = bits();
    return () => createHash('sha256').update(data).digest('hex');
  };
  const thinLines = () => {
    const { tones } = source();
    return () => {
      const counter = openThinLines(scratch.widthPx, 2, 2, 0);
      for (let y = 0; y < scratch.heightPx; y++) counter.row(tones, y * scratch.widthPx);
      counter.finish();
    };
  };
  return [
    { title: 'finish: turn over and mirror', px, open: finishing },
    { title: COUNT, px, open: counting },
    { title: 'thin lines', px: scratch.widthPx * scratch.heightPx, open: thinLines },
    { title: 'sha256', px, open: hashing },
  ];
}

/** Screens pack differently well, formats alike: so PNG for every kind of screen, and every format for the first. */
function encodeStages({ bitmap, head }, screened) {
  const px = bitmap.widthPx * bitmap.heightPx;
  const stage = ({ kind, encodeBand }, { title, bits, packing }) => ({
    title: `encode ${kind}, ${title}`,
    px,
    open: () => {
      const data = bits();
      return () => encodeBand(data, { ...head, packing }, 0);
    },
  });
  const { png, ...others } = formats;
  return [
    ...screened.filter(({ kind }, i) => kind !== screened[i - 1]?.kind).map((screen) => stage(png, screen)),
    ...Object.values(others).map((format) => stage(format, screened[0])),
  ];
}

/** What the beam really etches, and what will not hold: the judging of a plate of scattered pixels. */
function judgingStages(setup, bits) {
  const px = setup.bitmap.widthPx * setup.bitmap.heightPx;
  const stage = (title, task) => ({
    title,
    px,
    open: () => {
      setup.bitmap.data.set(bits());
      const bench = openBench();
      bench.add(setup);
      return () => bench.run({ plate: setup.id, ...task });
    },
  });
  return [
    stage('predict what is etched', { do: 'predict', args: [0] }),
    stage('extents of columns', { do: 'columns', args: [] }),
    ...Object.values(processes).map(({ kind, holds }) =>
      stage(`hold, ${kind}`, { do: 'hold', args: [holds] }),
    ),
  ];
}

/** Reading back what `write` puts into a file, compared bit by bit as every run does. */
function readBackStages(setup, bits, write) {
  const { bitmap, head, id } = setup;
  const opening =
    ({ kind, encodeBand, assemble, locate }) =>
    async () => {
      bitmap.data.set(bits());
      const bench = openBench();
      bench.add(setup);
      const fd = write(kind, await assemble(head, [encodeBand(bitmap.data, head, 0)]));
      const readAt = (offset, bytes) => {
        const into = new Uint8Array(bytes);
        return into.subarray(0, readSync(fd, into, 0, bytes, offset));
      };
      const located = locate(readAt, fstatSync(fd).size);
      return () => {
        for (const band of located.bands.keys())
          if (bench.run({ do: 'verify', plate: id, args: [kind, fd, located, band] }) !== 0)
            throw new Error(`${kind} reads back differently`);
      };
    };
  return Object.values(formats).map((format) => ({
    title: `read back ${format.kind}`,
    px: bitmap.widthPx * bitmap.heightPx,
    open: opening(format),
  }));
}

/**
 * Every stage of the work on one band of a plate: title, pixels, and `open`, which gives the work itself. The stage `COUNT` is the
 * measure of all others. `reduced` is a layout of the same picture with fewer pixels than it has; `write` keeps a file open.
 */
export function stagesOf(setup, reduced, write) {
  const source = once(() => toneSourceOf(setup));
  const tones = once(() => tonesOf(source(), setup));
  const screened = screenStages(tones, setup);
  const { bits } = screened[0];
  return [
    ...readingStages(setup),
    resampleStage('resample, six taps', source, setup.plan.layout),
    resampleStage('resample, reducing', source, reduced),
    ...screened,
    plainFloydStage(tones, setup),
    ...plateStages(setup, source, bits),
    ...judgingStages(setup, bits),
    ...encodeStages(setup, screened),
    ...readBackStages(setup, bits, write),
  ];
}
