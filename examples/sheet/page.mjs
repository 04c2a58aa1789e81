/** What to look for, in a printmaker's words; a screen that is not here speaks by its own summary alone. */
const captions = {
  cell: 'The plate is drawn in small squares, each etched or left standing whole, so that no land is narrower than one of them; what a square got wrong its neighbours make up for, so the picture keeps its tones and much of its drawing. Lines and lettering are kept out of it and stand sharp.',
  grain:
    'Winding marks and lands of one width with no direction, the look of an aquatint. The grain is wider than the smallest letters: they break up, and so do thin lines.',
  dot: 'Dots in straight rows that swell with the tone, as in a printed newspaper. Even and predictable in flat tints; detail finer than the rows is lost, and thin lines turn into dashes.',
  line: 'Slanting lines that swell with the tone, as a burin would cut them. The lines carry the eye along their own direction; what lies across them is drawn in steps.',
  bluenoise:
    'Single pixels, strewn evenly and without a pattern or a direction, each tone like a fine dust. Softer than error diffusion; lands between the marks are as thin as there.',
  errordiffusion:
    'Single pixels, strewn as evenly as they will go. The finest drawing of all, but where the mark of one firing is wider than a pixel the lands between the marks are slivers: look at the dark patches, where what is left standing is too thin to trust.',
  bayer:
    'A woven pattern of single pixels, the same everywhere. It is steady and repeats well, and it shows: tints look like cloth, and tones come in steps.',
  threshold:
    'No tone at all: what is darker than the level is etched, the rest stays. For lettering and line drawings, which come out clean; a photograph loses its greys.',
};

const HEAD = `# Gallery of screens

One sheet through every screen: a corner of the demo picture, a ramp, eight flat tints, and lettering with lines from 0.05 to 0.4 mm. Each is an intaglio plate of 26 × 46.5 mm at 500 dpi for a
machine whose pulse marks 0.10 mm, made by \`etchwright prepare sheet.png --process intaglio --spot 0.1mm --screen …\` with everything else left
as it is, so black is held at 80 %. What is dark is fired and holds ink.

- **plate**: what the machine is told, a pixel of the plate to a pixel of the picture. Look at it at full size; a browser that scales it draws patterns that are not there.
- **detail**: three places of it, four times as large: the ferry, the ramp beside the tints, the lettering.
- **print**: what that should look like, at 200 pixels to an inch: the marks as wide as the beam makes them, inked black on white paper, and averaged as the eye
  does. It is predicted, not printed: ink, wiping and paper add their own. It looks lighter than the picture, since a screen shows half grey with far
  less light than paper of which half is inked.

The picture itself, for comparison:

![the sheet before it is screened](gallery/picture.png)
`;

const section = ({ kind, summary }) => `
## ${kind}

${summary[0].toUpperCase()}${summary.slice(1)}.${captions[kind] ? ` ${captions[kind]}` : ''}

| plate | print |
|---|---|
| ![${kind}: the plate](gallery/${kind}.plate.png) | ![${kind}: the print, predicted](gallery/${kind}.print.png) |

![${kind}: three details of the plate, four times as large](gallery/${kind}.detail.png)
`;

const withoutMarks = (defs) => `
## Without marks

${defs.map(({ kind, summary }) => `- \`${kind}\`: ${summary.replace(/^no screen: /, '')}. What it looks like is the machine's doing, so there is no picture of it.`).join('\n')}
`;

/** The page that names every screen of the registry, in its order. */
export function galleryPage(defs) {
  const drawn = defs.filter(({ draws }) => draws === 'bits');
  const others = defs.filter(({ draws }) => draws !== 'bits');
  const end = `\nAll of it is made anew by \`npm run gallery\`.\n`;
  return [HEAD, ...drawn.map(section), ...(others.length > 0 ? [withoutMarks(others)] : []), end].join('');
}
