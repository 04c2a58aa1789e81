const number = (digits) => (value) =>
  value === undefined || Number.isNaN(value) ? '' : value.toFixed(digits);
const pair = (digits, a, b) => (a === undefined ? '' : `${a.toFixed(digits)} / ${b.toFixed(digits)}`);

/** Columns of the table: heading and what stands there for one screen at one spot. */
const columns = [
  { title: 'screen', of: ({ title }) => title },
  { title: 'spot px', of: ({ spotPx }) => String(spotPx) },
  { title: 'flats mean / max', of: ({ flatMean, flat }) => pair(2, flatMean, flat) },
  ...['scene', 'texture', 'ramp', 'lettering'].map((name) => ({
    title: name,
    of: ({ pictures }) => number(2)(pictures[name]?.error),
  })),
  { title: 'noise mean / max', of: ({ noiseMean, noise }) => pair(2, noiseMean, noise) },
  { title: 'HPSNR scene', of: ({ pictures }) => number(1)(pictures['scene']?.hpsnr) },
  { title: 'lettering', of: ({ pictures }) => number(1)(pictures['lettering']?.hpsnr) },
  { title: 'edges scene', of: ({ pictures }) => number(3)(pictures['scene']?.edge) },
  { title: 'lettering', of: ({ pictures }) => number(3)(pictures['lettering']?.edge) },
  { title: 'thin flats', of: ({ thinFlats }) => number(1)(thinFlats) },
  { title: 'scene', of: ({ pictures }) => number(1)(pictures['scene']?.thin) },
  { title: 'lettering', of: ({ pictures }) => number(1)(pictures['lettering']?.thin) },
  { title: 'sector', of: ({ sector }) => number(1)(sector) },
  { title: 'anisotropy dB', of: ({ anisotropyDb }) => number(1)(anisotropyDb) },
  { title: 'size µm', of: ({ sizeUm }) => number(0)(sizeUm) },
  { title: 'start %', of: ({ start }) => number(0)(start) },
  { title: 'Mpx/s', of: ({ speed }) => number(0)(speed?.kernel) },
  { title: 'trimmed', of: ({ speed }) => number(0)(speed?.whole) },
  { title: '× bayer', of: ({ ofBayer }) => number(2)(ofBayer) },
  { title: '× Floyd–Steinberg', of: ({ ofDiffusion }) => number(2)(ofDiffusion) },
];

/** What the columns are, for whoever reads the table. */
export const LEGEND = `Etched area predicted for pulses of a hard-edged spot, after each screen's own allowance, curve or trim; nothing was burnt.
flats: error of the 256 flat tones in points of tone (with a spot of one pixel, of those that a solid can reach); scene, texture,
ramp, lettering: mean error on pictures, + is darker. noise: what an eye at 300 mm still sees of flat tints (Näsänen 1984), in points.
HPSNR: picture against print after the same eye, in dB; it knows nothing of what holds. edges: correlation of gradients, 1 = all kept.
thin: land narrower than the spot, in per cent of the land, of the worst flat tint and of pictures, seen to a quarter of a pixel. sector:
strongest direction of 15° in any tint, 1 = none; anisotropy: above that of noise without a direction (Ulichney 1987). size: where most
power lies at half tone. start: first 64 rows of a tint of 2/255, in per cent of what is asked. Mpx/s: row kernel on one thread, then with
its trim; × those of bayer and Floyd–Steinberg in the same run.`;

/** The rows as a table: GitHub's Markdown, or set with spaces. */
export function tableOf(rows, asMarkdown) {
  const cells = [columns.map(({ title }) => title), ...rows.map((row) => columns.map(({ of }) => of(row)))];
  if (asMarkdown) {
    const line = (words) => `| ${words.join(' | ')} |`;
    const rule = `|${columns.map((_, i) => (i === 0 ? '---' : '---:')).join('|')}|`;
    return [line(cells[0]), rule, ...cells.slice(1).map(line)].join('\n');
  }
  const widths = columns.map((_, i) => Math.max(...cells.map((row) => row[i].length)));
  return cells
    .map((row) =>
      row.map((word, i) => (i === 0 ? word.padEnd(widths[i]) : word.padStart(widths[i]))).join('  '),
    )
    .join('\n');
}
