/** Black on white on any paper: 186 mm fit A4 and Letter with 12 mm margins. All lengths that matter are physical. */
export const STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
@page { margin: 12mm; }
html { background: #fff; color: #000; }
body { width: 186mm; max-width: 100%; margin: 0 auto; font: 9pt/1.25 system-ui, "DejaVu Sans", Arial, sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 15pt; line-height: 1.15; margin: 0; }
h2 { font-size: 10.5pt; margin: 0 0 0.6mm; padding-top: 0.6mm; border-top: 0.3mm solid #000; break-after: avoid; page-break-after: avoid; }
h3 { font-size: 9pt; margin: 0 0 0.5mm; break-after: avoid; page-break-after: avoid; }
p, ul { margin: 0 0 1mm; }
ul { padding-left: 4mm; }
section, header, .columns { margin-bottom: 1.6mm; }
.small, small, figcaption { font-size: 7.5pt; }
small { font-weight: normal; }
.keep, figure, tr, li { break-inside: avoid; page-break-inside: avoid; }
header p { margin: 0.5mm 0 0; }
.hash { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-weight: bold; white-space: nowrap; }
.orientation { border: 0.6mm solid #000; padding: 0.8mm 2mm; margin-top: 1.2mm; font-size: 11pt; font-weight: bold; }
.pictures { display: grid; gap: 1.2mm 4mm; align-items: end; }
.pictures figure { margin: 0; }
.pictures .letters { grid-column: 1 / -1; margin: 0; }
figcaption { margin-top: 0.5mm; }
.pictures img { display: block; max-width: 100%; border: 0.2mm solid #000; }
.columns { display: grid; grid-template-columns: 1fr 1fr; gap: 0 6mm; align-items: start; }
.columns section, section > .columns { margin-bottom: 0; }
.columns > div > :is(table, section) + :is(table, section) { margin: 1.5mm 0 0; }
table { border-collapse: collapse; width: 100%; }
caption { font-size: 10.5pt; font-weight: bold; text-align: left; padding: 0.6mm 0; border-top: 0.3mm solid #000; }
th { text-align: left; font-weight: normal; vertical-align: top; }
td { vertical-align: top; }
.facts { font-size: 8.5pt; }
.facts th { width: 22.5mm; padding: 0.2mm 1mm 0.2mm 0; overflow-wrap: normal; }
.facts td, .stack td, .stack th { padding: 0.2mm 0; }
.facts tr, .stack tbody tr { border-top: 0.1mm solid #999; }
.stack .blank { min-width: 13mm; }
.stack td { padding-right: 2mm; }
.stack thead th { font-size: 7.5pt; }
.bar { vertical-align: -0.3mm; fill: #000; }
.bar .frame { fill: none; stroke: #000; stroke-width: 0.2; }
.blank { display: inline-block; min-width: 24mm; height: 1.1em; border-bottom: 0.2mm solid #000; vertical-align: baseline; }
.charts { display: flex; flex-wrap: wrap; gap: 2mm 6mm; }
.chart { margin: 0; }
.chart svg { display: block; font-size: 2.7px; }
.chart svg, .ruler { max-width: 100%; font-family: inherit; }
.axis, .line, .rule { fill: none; stroke: #000; }
.axis { stroke-width: 0.25; }
.line { stroke-width: 0.45; stroke-linejoin: round; }
.grid { fill: none; stroke: #999; stroke-width: 0.1; }
.rule { stroke-width: 0.2; }
.ruler { display: block; font-size: 2.7px; }
.cautions, .safety ul, .edges, .stack { font-size: 8pt; }
.cautions { list-style: none; padding: 0; columns: 2; column-gap: 6mm; }
.cautions li { margin-bottom: 0.8mm; padding-left: 2mm; border-left: 0.3mm solid #999; }
.cautions .stop { column-span: all; border: 0.8mm solid #000; padding: 1mm 2mm; }
.cautions .warn { border-left: 1mm solid #000; }
.grade { font-size: 8pt; text-transform: uppercase; letter-spacing: 0.04em; }
.safety ul { columns: 2; column-gap: 6mm; }
.stages { columns: 2; column-gap: 6mm; font-size: 8.5pt; }
.ticks { list-style: none; padding: 0; margin-bottom: 1.2mm; }
.ticks li { position: relative; padding-left: 5mm; min-height: 3.6mm; margin-bottom: 0.4mm; }
.ticks li::before { content: ""; position: absolute; left: 0; top: 0.2mm; width: 3mm; height: 3mm; border: 0.25mm solid #000; }
.fields { display: grid; grid-template-columns: repeat(4, 1fr); gap: 0 4mm; }
.field { display: flex; gap: 1.5mm; align-items: flex-end; margin: 0; height: 5.5mm; }
.field .blank { flex: 1; min-width: 0; }
.free { height: 6mm; margin: 0; border-bottom: 0.2mm solid #000; }
footer { font-size: 7.5pt; }
footer > p:last-child { border-top: 0.3mm solid #000; padding-top: 1mm; margin: 0; }
@media screen { body { padding: 8mm 4mm; width: 194mm; } }
@media screen and (max-width: 170mm) {
  .columns, .fields { grid-template-columns: 1fr; }
  .pictures { grid-template-columns: 1fr !important; row-gap: 3mm; }
  .pictures img { width: 100% !important; height: auto !important; }
  .scale { display: none; }
  .cautions, .safety ul, .stages { columns: 1; }
}
`;
