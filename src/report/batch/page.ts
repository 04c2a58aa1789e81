import { html, type Markup } from '../jobsheet/html.ts';
import { STYLE } from '../jobsheet/style.ts';

const OWN = `
.lead { font-size: 11pt; }
.mend { font-size: 12pt; line-height: 1.35; }
.mend h2 { font-size: 13pt; margin: 4mm 0 1.5mm; padding-top: 1.5mm; }
.mend li { margin-bottom: 2mm; }
.cards { display: grid; grid-template-columns: repeat(3, 1fr); gap: 4mm; list-style: none; padding: 0; }
.card { border: 0.2mm solid #000; padding: 1.5mm; break-inside: avoid; page-break-inside: avoid; }
.card h2 { border: 0; padding: 0; margin: 1mm 0 0.5mm; font-size: 10pt; }
.card p { margin: 0 0 0.5mm; }
.card ul { padding-left: 3.5mm; margin: 0; font-size: 7.5pt; }
.card .frame { height: 42mm; display: flex; align-items: center; justify-content: center; }
.card img { max-width: 100%; max-height: 42mm; border: 0.1mm solid #999; }
.card.none { border-width: 0.8mm; }
.card.none .frame { height: auto; justify-content: start; padding: 1mm 0; font-size: 11pt; font-weight: bold; }
@media screen and (max-width: 170mm) { .cards { grid-template-columns: 1fr; } }
`;

/** A page without script or network, black on white, for screen and for A4 or Letter. */
export const page = (title: string, body: Markup): string =>
  html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>${title}</title>
<style>${{ markup: STYLE + OWN }}</style>
</head>
<body>
${body}
</body>
</html>
`.markup;
