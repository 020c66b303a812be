import { valueAt } from '../measure/present.ts';

/**
 * The words of the trade, each in a sentence or two. A term on a screen leads to its entry here; `labels` are the heads,
 * labels and headings that do. Figures are common practice, no source: a shop sets its own.
 */
export interface GlossaryEntry {
  readonly id: TermId;
  readonly term: string;
  /** The text, or one for each unit system where it has lengths. */
  readonly text: string | { readonly mm: string; readonly in: string };
  /** Entries that help to read this one. */
  readonly see: readonly TermId[];
  /** Labels on screens that lead here, beside the term itself. */
  readonly labels: readonly string[];
}

export type TermId = keyof typeof TERMS;

interface Written {
  readonly term: string;
  readonly text: GlossaryEntry['text'];
  readonly see?: readonly string[];
  readonly labels?: readonly string[];
}

const TERMS = {
  acknowledgement: {
    term: 'Acknowledgement',
    text: 'A name and a note of the person who answers for a warning. It is kept with the job and printed on the ticket, and can be removed again.',
    see: ['finding'],
  },
  artwork: {
    term: 'Artwork',
    text: 'The flat PDF of the design that a job was begun with. It is kept unchanged, and nothing in it is converted.',
    see: ['scale'],
  },
  'corrected-artwork': {
    term: 'Corrected artwork',
    text: 'A later file of the same design. It is compared panel by panel with the artwork that it replaces: a panel has the same content where all of its objects and samples are equal, and is the same picture where two renderers draw it equal, with equal letters and colors.',
    see: ['artwork', 'output'],
  },
  bleed: {
    term: 'Bleed',
    text: {
      mm: 'Printed image beyond the outer edge of a side, to be tucked or trimmed. Common: 50 to 100 mm.',
      in: 'Printed image beyond the outer edge of a side, to be tucked or trimmed. Common: 2 to 4 in.',
    },
    see: ['border', 'overlap'],
    labels: ['Bleed of a new side', 'Top bleed', 'Right bleed', 'Bottom bleed', 'Left bleed'],
  },
  'cut-contours': {
    term: 'Cut contours',
    text: 'Lines for a cutter, in files of their own: the outline of each panel without its border, openings as the no-film areas have them, and the cuts that part a strip. By choice the panel files have the outline and the openings, too: then the RIP must be set to cut the ink “Cutting”, not to print it. Measure an opening on the vehicle before it is cut in the shop.',
    see: ['border', 'no-film-area'],
    labels: ['Cut contours (PDF, DXF, SVG)', 'Cut contours in the panel files'],
  },
  xjdf: {
    term: 'Job ticket (XJDF)',
    text: 'What an output is, for other programs of the shop, in the open format XJDF 2.2 of CIP4: customer, vehicles, films with their lots, panel files with checksums and copies, and where each copy lies on its roll.',
    see: ['output'],
  },
  'body-gap-seam': {
    term: 'Body-gap seam',
    text: 'A seam in a gap of the body, as at the edge of a door. Both panels run into the gap and neither lies on the other.',
    see: ['seam', 'overlap-seam', 'butt-seam'],
    labels: ['Kind of seam'],
  },
  'body-line': {
    term: 'Body line',
    text: 'A crease, a molding, a body gap or a row of rivets at a known place on a side. Seams hide in a gap, at a molding or beside a crease, and keep clear of rivets.',
    see: ['seam'],
    labels: ['Body lines', 'How it hides'],
  },
  border: {
    term: 'Border',
    text: {
      mm: 'Unprinted film around the printed image for handling, labels and marks, about 30 mm wide. It is cut off before or while the panel is installed.',
      in: 'Unprinted film around the printed image for handling, labels and marks, about 1 1/4 in wide. It is cut off before or while the panel is installed.',
    },
    see: ['size-on-roll', 'trimmed-size'],
    labels: [
      'Unprinted border around each panel',
      'Unprinted border around each panel, for labels and marks',
    ],
  },
  'butt-seam': {
    term: 'Butt seam',
    text: 'A seam where two panels meet edge to edge, without overlap. It shows least and forgives least.',
    see: ['seam', 'overlap-seam'],
  },
  'cast-film': {
    term: 'Cast film',
    text: 'Film that is poured, not rolled, so that it stays where it is installed, on curves and rivets too. It takes cast laminate only.',
    see: ['calendered-film', 'laminate'],
  },
  'calendered-film': {
    term: 'Calendered film',
    text: 'Film that is rolled thin. It costs less than cast film and shrinks more, which suits flat sides; polymeric kinds last longer than monomeric ones.',
    see: ['cast-film'],
  },
  'check-in': {
    term: 'Check-in sheet',
    text: 'A sheet for the tape before there is artwork: the three to five dimensions of each side on which its layout depends. What the tape shows is entered in the job.',
    see: ['finished-size'],
    labels: ['Measured on the vehicle'],
  },
  'color-target': {
    term: 'Color target',
    text: 'A print by which color is judged at the press. What the customer approves is the customer proof.',
    see: ['customer-proof'],
  },
  'customer-proof': {
    term: 'Customer proof',
    text: 'What the customer approves before anything is printed: all sides with their sizes, lettering to read back, colors and film by name. Who signed it is kept with the job, for the artwork that it shows.',
    see: ['color-target'],
  },
  'difficult-ground': {
    term: 'Difficult ground',
    text: 'A recess, a curve or a corrugation, where film has to stretch or takes longer to install. Seams there cost time and may lift.',
    see: ['seam'],
  },
  door: {
    term: 'Door',
    text: 'A door, hatch or flap of the vehicle: its gap, how it moves, its handle, and whether film goes around its edges. Seams snap to its gap as body-gap seams.',
    see: ['body-gap-seam', 'no-film-area'],
  },
  'dot-reflective-tape': {
    term: 'DOT reflective tape',
    text: 'The red and white marking of trailers in the United States. Film over any part of it is not lawful, so artwork there gives a warning.',
    see: ['no-film-area'],
  },
  'drying-time': {
    term: 'Drying time',
    text: 'The hours a print waits before it is laminated, counted from when its last panel came off the printer. Heavy ink waits longer; touch-dry is not dry.',
    see: ['ink-coverage', 'laminate'],
    labels: ['Drying clock', 'Ready to laminate'],
  },
  'feed-error': {
    term: 'Feed error',
    text: 'How much longer or shorter a print comes out than the file, because of how the printer feeds film. It is measured over a long print and made up for once, at the RIP or the printer.',
    see: ['rip'],
    labels: ['Length error of the feed, in %', 'Feed error over the longest panel'],
  },
  'fill-list': {
    term: 'Fill list',
    text: 'Small pieces that print in what would be waste beside the panels: patches that wait, unit numbers, door logos, spare strips. No panel moves for them, and no roll gets longer.',
    see: ['nesting', 'partial-roll'],
  },
  finding: {
    term: 'Finding',
    text: 'What a check says: what, where, and what to do. A stop blocks the output, a warning waits for an acknowledgement, a note informs.',
    see: ['acknowledgement'],
    labels: ['Findings', 'Limits broken'],
  },
  fleet: {
    term: 'Fleet',
    text: 'Vehicles that are alike, listed by unit number and license plate. They share layout and panel files; nesting, labels, packing lists and reprints go by vehicle.',
    see: ['unit-number', 'vehicle-type'],
    labels: ['Units: unit number, license plate', 'Nest and print', 'Vehicle that they are for'],
  },
  'finished-overlap': {
    term: 'Finished overlap',
    text: {
      mm: 'How far two panels cover each other once the trim-off is cut: about 12 to 15 mm, and never less than 6 mm.',
      in: 'How far two panels cover each other once the trim-off is cut: about 1/2 in, and never less than 1/4 in.',
    },
    see: ['printed-overlap', 'trim-off'],
    labels: ['Finished overlap of a new seam'],
  },
  'finished-size': {
    term: 'Finished size',
    text: 'The size of a side on the vehicle, without bleed. Drawn size times scale is finished size.',
    see: ['scale', 'bleed'],
    labels: ['Finished width', 'Finished height'],
  },
  'front-arrow': {
    term: 'FRONT and TOP',
    text: 'The arrows on each panel border, label and sheet that say which edge is nearer to the front of the vehicle and which one is up.',
    see: ['side'],
    labels: ['Front of the vehicle is'],
  },
  'ink-coverage': {
    term: 'Ink coverage',
    text: 'How much of the film ink covers, all inks added: 100 % for each ink at its fullest. It decides the drying time, and is computed from the file, not measured at the press.',
    see: ['drying-time'],
    labels: ['Ink mean / worst', 'Ink and coverage'],
  },
  install: {
    term: 'Install',
    text: 'To put the film on the vehicle.',
    see: ['install-order', 'install-map'],
  },
  'install-map': {
    term: 'Install map',
    text: 'The printed sheet that tells the crew which panel goes where, in what order, and over or under which neighbor.',
    see: ['install-order'],
    labels: ['Pages of the install map'],
  },
  'install-order': {
    term: 'Install order',
    text: 'The sequence of panels on the vehicle: rear before front and bottom before top, so that upper and forward edges lie on top and shed water and wind.',
    see: ['install'],
    labels: ['Panels are numbered'],
  },
  laminate: {
    term: 'Laminate',
    text: 'Clear film over the print that keeps it from scratches and sun. It is never of a lower grade than the film.',
    see: ['cast-film', 'calendered-film'],
  },
  'lot-number': {
    term: 'Lot number',
    text: 'The maker’s number of one production of film. Color and handling differ between lots, so a side is printed from one.',
    see: ['partial-roll', 'roll-number'],
  },
  nesting: {
    term: 'Nesting',
    text: 'How panels are arranged on rolls, so that straight cuts part them and little film is wasted.',
    see: ['roll-width', 'space'],
    labels: ['With other jobs', 'Rolls'],
  },
  'no-film-area': {
    term: 'No-film area',
    text: 'Where no film may be: a handle, a lamp, a sensor, a window, a plate. The sheets say CUT OUT, CUT BACK TO SEAL or LEAVE BARE.',
    see: ['no-seam-area'],
    labels: ['No-film areas', 'Space from seams'],
  },
  'no-seam-area': {
    term: 'No-seam area',
    text: 'Where no seam may be: lettering, a logo, a face. Film goes there as everywhere.',
    see: ['no-film-area', 'seam'],
    labels: ['No-seam areas', 'Lettering crossed'],
  },
  output: {
    term: 'Output',
    text: 'One writing of print files, with its panels, sheets and manifest, in a folder of its own. A reprint is an output too.',
    see: ['verification', 'reprint'],
    labels: ['Outputs'],
  },
  'overlap-seam': {
    term: 'Overlap seam',
    text: 'A seam where one panel lies on the other. The seam that the eye sees is the edge of the upper one.',
    see: ['printed-overlap', 'trim-off', 'finished-overlap'],
    labels: ['Overlap seams are trimmed', 'Trim the upper edge', 'On top'],
  },
  overlap: {
    term: 'Overlap',
    text: 'How far two panels cover each other at a seam. It has three figures: printed overlap, trim-off and finished overlap.',
    see: ['printed-overlap', 'trim-off', 'finished-overlap'],
    labels: ['Least overlap'],
  },
  override: {
    term: 'Override',
    text: 'The name and the reason of the person who answers for film and laminate that the rules advise against. It is printed on the ticket.',
    see: ['acknowledgement', 'laminate'],
  },
  panel: {
    term: 'Panel',
    text: 'One piece of film, printed in one piece and installed in one piece. Its number begins with the code of its side.',
    see: ['panel-layout', 'side'],
    labels: ['Panels', 'Panel files'],
  },
  'panel-layout': {
    term: 'Panel layout',
    text: 'How a side is divided into panels. A layout that is kept for the next vehicle of the type is a saved layout.',
    see: ['panel', 'seam'],
    labels: ['Saved layouts', 'Name of the saved layout'],
  },
  'partial-roll': {
    term: 'Partial roll and remnant',
    text: 'A partial roll is one from the shelf that was begun; a remnant is a loose piece. Both can be used in a nesting.',
    see: ['nesting'],
    labels: ['Rolls at hand'],
  },
  'panel-guide': {
    term: 'Panel guide',
    text: 'A PDF of thin lines that a designer draws over: sides, panels, seams, no-film areas and what to send back. It is drawn before there is artwork, and must not be left on in it.',
    see: ['artwork', 'scale', 'bleed'],
  },
  'perforated-window-film': {
    term: 'Perforated window film',
    text: {
      mm: 'Film with small holes for glass: printed from outside, clear to look through from inside. It ends 5 to 10 mm off the seal and takes an optically clear laminate. Law limits where it may go.',
      in: 'Film with small holes for glass: printed from outside, clear to look through from inside. It ends 1/4 to 3/8 in off the seal and takes an optically clear laminate. Law limits where it may go.',
    },
    see: ['no-film-area'],
    labels: ['Print on perforated film', 'Ends off the seal by', 'Bleed past that'],
  },
  'printed-overlap': {
    term: 'Printed overlap',
    text: {
      mm: 'How far two panels cover each other as they are printed: about 25 mm, or 75 to 100 mm where the crew shifts panels. A part of it is the trim-off.',
      in: 'How far two panels cover each other as they are printed: about 1 in, or 3 to 4 in where the crew shifts panels. A part of it is the trim-off.',
    },
    see: ['trim-off', 'finished-overlap'],
    labels: ['Printed overlap of a new seam'],
  },
  'printed-size': {
    term: 'Printed size',
    text: 'What a panel prints: its visible size with bleed and with what it extends past its seams.',
    see: ['visible-size', 'size-on-roll'],
  },
  reduction: {
    term: 'Reduction and user units',
    text: {
      mm: 'A PDF page is at most 5,080 mm long. A longer panel is written smaller, and enlarged at the RIP by the factor in its file name, or in larger units (PDF 1.6).',
      in: 'A PDF page is at most 200 in long. A longer panel is written smaller, and enlarged at the RIP by the factor in its file name, or in larger units (PDF 1.6).',
    },
    see: ['rip'],
    labels: ['Size of the panel files', 'Enlarge in production by'],
  },
  reprint: {
    term: 'Reprint',
    text: 'Panels of an earlier output written again, byte for byte, with a reason. Sheets, labels and folder say that it is a reprint.',
    see: ['output'],
    labels: ['Reason, for the archive'],
  },
  rip: {
    term: 'RIP',
    text: 'The program at the printer that turns panel files into ink. It knows spot inks, overprint and the limit of ink for the film.',
    see: ['spot-ink', 'overprint'],
  },
  'roll-ledger': {
    term: 'Ledger of a roll',
    text: 'Everything that came onto a roll and went off it. The length left is the sum. A wrong entry stays and is undone by a counter-entry.',
    see: ['partial-roll'],
    labels: ['Ledger'],
  },
  'roll-number': {
    term: 'Roll number',
    text: 'The number that tells one roll from others of its lot. The code on the label of a roll, such as R-0042, is the shop’s own.',
    see: ['lot-number', 'roll-ledger'],
  },
  'roll-width': {
    term: 'Roll width',
    text: {
      mm: 'The true width of a roll: 1,371.6 mm for what is sold as 1.37 m, 1,524 mm for 1.52 m. The margins of the printer go off it.',
      in: 'The true width of a roll, such as 54 or 60 in. The margins of the printer go off it.',
    },
    see: ['size-on-roll', 'nesting'],
    labels: ['Roll widths', 'Across the roll', 'Width left'],
  },
  scale: {
    term: 'Scale',
    text: 'Finished size divided by drawn size. A drawing at 1:10 has scale 10.',
    see: ['finished-size', 'artwork'],
    labels: ['The drawing is 1 to'],
  },
  seam: {
    term: 'Seam',
    text: 'The line where two parts of a side meet: an overlap seam, a butt seam or a body-gap seam.',
    see: ['overlap-seam', 'butt-seam', 'body-gap-seam'],
    labels: ['Seams', 'Least panel width'],
  },
  side: {
    term: 'Side',
    text: 'One face of the vehicle: driver and passenger side (DS, PS), street and curb side of trailers and buses (SS, CS), or left and right (LH, RH) as the driver sees them facing forward; FRONT, REAR, ROOF, HOOD.',
    see: ['front-arrow', 'finished-size'],
    labels: ['Sides', 'Units and side names', 'Sides of a vehicle', 'Sides of a trailer or bus'],
  },
  'size-on-roll': {
    term: 'Size on roll',
    text: 'The whole piece of film of a panel: the printed image with its border.',
    see: ['border', 'roll-width'],
    labels: ['Longest panel, size on roll', 'Longest horizontal panel, size on roll'],
  },
  space: {
    term: 'Space',
    text: 'Clear film between panels on a roll, or between words in the artwork, where a seam crosses no letter.',
    see: ['nesting', 'no-seam-area'],
  },
  'spot-ink': {
    term: 'Spot ink',
    text: 'An ink with a name of its own in the artwork, beside cyan, magenta, yellow and black. The RIP must know it, or prints another color for it.',
    see: ['rip'],
  },
  overprint: {
    term: 'Overprint',
    text: 'Ink printed on top of other ink instead of in its place. Panels keep it; the picture on screen does not show it.',
    see: ['rip'],
  },
  ticket: {
    term: 'Ticket',
    text: 'The production sheet: film, laminate, nesting, drying time, warnings with who acknowledged them, and what was set at the printer.',
    see: ['output', 'acknowledgement'],
    labels: ['Note for the ticket'],
  },
  'trim-off': {
    term: 'Trim-off',
    text: 'What is cut off the upper panel at a seam, over cutting tape, in a gap or on an edge: printed overlap less finished overlap.',
    see: ['printed-overlap', 'finished-overlap'],
    labels: ['Trim in shop', 'Shop trims'],
  },
  'trimmed-size': {
    term: 'Trimmed size',
    text: 'The size of a panel in the hand once its border is off.',
    see: ['border', 'visible-size'],
  },
  'unit-number': {
    term: 'Unit number',
    text: 'How a fleet names one of its vehicles.',
    see: [],
  },
  verification: {
    term: 'Verification',
    text: 'Each written panel is read back and compared with the artwork, object by object and sample by sample, and drawn beside it. Only what is verified is released.',
    see: ['output'],
    labels: ['Verified'],
  },
  'visible-seam-penalty': {
    term: 'Visible-seam penalty',
    text: 'What the planner adds for a seam that everybody sees, to tell layouts apart. It is not cash.',
    see: ['panel-layout'],
    labels: ['Seams in open view'],
  },
  'visible-size': {
    term: 'Visible size',
    text: 'The size of a panel as it is seen when it is installed, without what lies under a neighbor.',
    see: ['trimmed-size', 'printed-size', 'size-on-roll'],
  },
  patch: {
    term: 'Patch',
    text: 'A piece of film over damage on an installed panel, cut from the same place of the artwork. It laps the damage on all sides and ends where its edges hide.',
    see: ['overlap'],
  },
  'vehicle-type': {
    term: 'Type of vehicle',
    text: 'Vehicles of one shape. A van and its trailer in one order are two types, each with sides of its own and a short code that leads labels and file names, such as T in T-SS-03.',
    see: ['fleet', 'side'],
    labels: ['More vehicles', 'Code of the vehicle', 'Name of the type'],
  },
  bay: {
    term: 'Bay',
    text: 'A place where a vehicle stands while it is installed. One that is planned for two vehicles at a time gives a warning in the week.',
    see: ['install'],
    labels: ['Bays'],
  },
  films: {
    term: 'Films of a job',
    text: 'A job may print on several films, told apart by letters: A, B, C. A side has one, a panel may have another; each has its laminate, printer and rolls. A seam between films of different kinds gives a warning.',
    see: ['cast-film', 'calendered-film', 'perforated-window-film'],
    labels: [
      'Films',
      'All its panels are printed on film',
      'Printed on film',
      'A cheaper film for flat panels',
    ],
  },
  mirror: {
    term: 'Mirrored print',
    text: 'A print that is looked at through its film, as on the inside of glass, runs from right to left. Either the RIP mirrors it, which the ticket says once, or the panel files hold it so; never both.',
    see: ['rip', 'white-plate'],
  },
  quote: {
    term: 'Quote',
    text: 'What the customer is asked for: material with its markup and hours at the prices of the shop, with the least and the most that it may become. It is a draft until the shop has entered its own prices.',
    see: [],
    labels: ['Prices of this job'],
  },
  'white-plate': {
    term: 'White plate',
    text: 'A spot ink that prints as white on film that is clear or colored, so that the colors do not let the ground or the film through. The designer draws it into the artwork.',
    see: ['artwork'],
  },
} as const satisfies Readonly<Record<string, Written>>;

export const GLOSSARY: readonly GlossaryEntry[] = (Object.keys(TERMS) as TermId[])
  .map((id) => {
    const { term, text, see = [], labels = [] }: Written = TERMS[id];
    return { id, term, text, see: see as readonly TermId[], labels };
  })
  .toSorted((a, b) => a.term.localeCompare(b.term, 'en-US'));

const BY_ID = new Map(GLOSSARY.map((entry) => [entry.id, entry]));
const BY_LABEL = new Map(
  GLOSSARY.flatMap(({ id, term, labels }) =>
    [term, ...labels].map((label) => [label.toLowerCase(), id] as const),
  ),
);

export const glossaryEntry = (id: TermId): GlossaryEntry => valueAt(BY_ID, id);

export const isTermId = (id: string): id is TermId => BY_ID.has(id as TermId);

/** The entry that a label, a head or a heading on a screen leads to; undefined where it needs none. */
export const termOfLabel = (label: string): TermId | undefined => BY_LABEL.get(label.toLowerCase());

export const glossaryText = ({ text }: GlossaryEntry, unit: 'mm' | 'in'): string =>
  typeof text === 'string' ? text : text[unit];

/** Entries with every word that was typed, those whose term has it first. */
export function glossaryFound(typed: string, unit: 'mm' | 'in'): readonly GlossaryEntry[] {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  const hasAll = (text: string) => words.every((word) => text.toLowerCase().includes(word));
  const named = GLOSSARY.filter(({ term }) => hasAll(term));
  return [
    ...named,
    ...GLOSSARY.filter(
      (entry) => !named.includes(entry) && hasAll(`${entry.term} ${glossaryText(entry, unit)}`),
    ),
  ];
}
