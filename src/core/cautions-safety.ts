/** What a safety caution is about. */
export type SafetyTopic = 'laser' | 'fume' | 'dust' | 'metals' | 'acids' | 'presses' | 'classes';

/** One thing to mind in the workshop, with who says so. */
export interface SafetyCaution {
  readonly topic: SafetyTopic;
  /** Short, for the job sheet; it warns and defers, it gives no leave. */
  readonly text: string;
  readonly source: string;
}

/** Stands above all others, whatever the topic. */
export const LOCAL_RULES =
  'The rules, training and risk assessment of your room come first; where they differ from these lines, they hold.';

/** Common workshop practice and public guidance in our own words: reminders for people who are trained. */
export const safetyCautions: readonly SafetyCaution[] = [
  {
    topic: 'laser',
    text: 'Stay beside the machine for the whole run; know where stop, extinguisher and alarm are.',
    source: 'wiki.cci.arts.ac.uk: fire at a school workshop, 2015',
  },
  {
    topic: 'laser',
    text: 'Lid shut, interlocks working; opening, aligning or mending it is for trained staff only.',
    source: 'ehs.wisc.edu; CLEAPSS control measures',
  },
  {
    topic: 'laser',
    text: 'Deep relief makes embers: keep the bed clear and clean it between passes with the machine stopped.',
    source: 'common practice',
  },
  {
    topic: 'fume',
    text: 'Extraction on before the first mark and for some minutes after the last; a mask does not replace it.',
    source: 'lsdm.ucop.edu on ANSI Z136.1 section 7.3',
  },
  {
    topic: 'fume',
    text: 'Find out what face, core, glue and backing are. PVC, neoprene, polycarbonate, foam or not known: keep it out.',
    source: 'wikis.utexas.edu; purdue.edu/bidc',
  },
  {
    topic: 'dust',
    text: 'Sand, brush and seal with dust extraction: wood and board dust harms the lungs over years.',
    source: 'hse.gov.uk on wood dust (limits: hardwood or mixed 3 mg/m³, softwood 5, over 8 hours)',
  },
  {
    topic: 'dust',
    text: 'Oily rags go into the lidded metal can: they heat up by themselves.',
    source: 'fablab.gsd.harvard.edu',
  },
  {
    topic: 'metals',
    text: 'Metal only on a machine made for it and by its trained operator: it reflects, and its fume is toxic.',
    source: 'purdue.edu/bidc; common practice',
  },
  {
    topic: 'acids',
    text: 'Acid and salt baths are for trained people with the workshop’s data sheets, goggles, gloves and ventilation.',
    source: 'ehs.utah.edu; nsead.org safe practice 6.3',
  },
  {
    topic: 'acids',
    text: 'Staff mix baths, acid into water. Ferric chloride on zinc gives off hydrogen, heat and acid vapour.',
    source: 'cartage.org.lb on etching zinc plates',
  },
  {
    topic: 'acids',
    text: 'Baths called safer still harm people and water: none of it goes down the drain. Rosin dust can explode.',
    source: 'nontoxicprint.com; nsead.org safe practice 6.3',
  },
  {
    topic: 'presses',
    text: 'Hands only on the handle; hair, scarves and jewellery tied away; one person gives the word.',
    source: 'lass.southtexascollege.edu; letterpresscommons.com on safety',
  },
  {
    topic: 'presses',
    text: 'Never force a plate thicker than the gap. Bevel and deburr a plate before it is printed.',
    source: 'letterpresscommons.com on safety; common practice',
  },
  {
    topic: 'classes',
    text: 'With people under 18 staff run the machine or stand beside it, after the school’s own guidance.',
    source: 'CLEAPSS control measures',
  },
];

/** The cautions on some topics, in the order of the list. */
export const safetyFor = (topics: readonly SafetyTopic[]): readonly SafetyCaution[] =>
  safetyCautions.filter(({ topic }) => topics.includes(topic));
