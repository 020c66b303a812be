/** Help for each screen in half a page. Keys are not written here: an act names its command, which has them. */
import type { Route } from '../state/route.ts';

export interface ScreenHelp {
  readonly title: string;
  /** Purpose of the screen. */
  readonly purpose: string;
  /** What to do there, in order. */
  readonly acts: readonly HelpAct[];
  /** What comes next. */
  readonly next: string;
}

interface HelpAct {
  readonly text: string;
  /** Ids of commands whose keys do it. */
  readonly commands?: readonly string[];
}

export const SCREEN_HELP: Readonly<Record<Route['screen'], ScreenHelp>> = {
  jobs: {
    title: 'Jobs',
    purpose:
      'Every job of the archive, one row each. A job holds one order: its vehicles, artwork, panel layouts and outputs.',
    acts: [
      {
        text: 'Drop an artwork PDF on the list, or press Begin with artwork. Panelwright proposes sides, scale and panel layouts.',
      },
      {
        text: 'Begin a job without artwork: enter its number and customer, then the sizes of the sides. The artwork comes later.',
        commands: ['job-new'],
      },
      {
        text: 'Type words of a job in the search: number, customer, vehicle, panel.',
        commands: ['jobs-show'],
      },
      { text: 'Open a job by its number, a double click on its row, or Enter.' },
      { text: 'Tick jobs that print on the same film to nest them on shared rolls.' },
    ],
    next: 'The bench of the job, where sides and seams are set.',
  },
  bench: {
    title: 'Bench',
    purpose: 'The artwork at its finished size, with the seams that divide each side into panels.',
    acts: [
      {
        text: 'On the artwork, check the scale and draw a side for each face of the vehicle.',
        commands: ['tool-side', 'tool-measure'],
      },
      {
        text: 'Draw what is on the vehicle: body lines, doors, no-seam areas, no-film areas.',
        commands: [
          'tool-line-vertical',
          'tool-line-points',
          'tool-trace',
          'tool-door',
          'tool-no-seam-area',
          'tool-no-film-area',
        ],
      },
      { text: 'Select a window to print its glass on perforated film, where the law allows it.' },
      {
        text: 'Under Job, list the vehicles that are alike, add a trailer with sides of its own, and add films for flat sides or glass.',
      },
      {
        text: 'Suggest panel layouts and use one, or cut panels by hand.',
        commands: ['plans-show', 'tool-seam-vertical', 'tool-seam-horizontal'],
      },
      {
        text: 'Select a seam and move it; the arrow keys move it too.',
        commands: ['tool-select', 'seam-next'],
      },
      { text: 'View a panel as it prints.', commands: ['panel-view'] },
      {
        text: 'Look at the selected seam at true size, with a panel a little off its place, before film is spent.',
        commands: ['seam-look'],
      },
      { text: 'Read the findings; each leads to its place. Undo what went wrong.', commands: ['undo'] },
    ],
    next: 'Production, where panels are nested on rolls.',
  },
  production: {
    title: 'Production',
    purpose:
      'How the panels are printed: on which film and laminate, where on the roll, and when they are dry.',
    acts: [
      { text: 'Select film and laminate, from the shelf of the shop or new. Take rolls that fit the job.' },
      { text: 'Look at the nesting. Drag a panel to move it, lock what must stay, and re-nest the rest.' },
      {
        text: 'Enter when printing begins and what was promised; the drying clock says when each step can start.',
      },
      {
        text: 'Read the estimates of film, ink, time and cost. They are worked out from the figures of the shop; the quote is worked out from them.',
      },
      { text: 'Of a job with several films, select the film that the page is about.' },
    ],
    next: 'The sheets, which carry all this to the floor.',
  },
  sheets: {
    title: 'Sheets',
    purpose:
      'The papers of the job as they print: install map, ticket, labels, packing list, check-in sheet, quote, customer proof and seams at true size.',
    acts: [
      { text: 'Select a sheet and turn its pages.' },
      { text: 'Enlarge it, print it or save it as a PDF.' },
      {
        text: 'Print the customer proof, have it read back and signed, and enter who signed it and when.',
      },
      {
        text: 'Print the seams at true size, with panels as far off their place as you say, and look at them from where people see the vehicle.',
      },
      {
        text: 'Write a panel guide for the designer: thin lines to draw the artwork over, so that lettering fits inside the panels.',
        commands: ['guide-write'],
      },
      {
        text: 'Write the findings for the designer: a report with each framed in place, and a copy of the artwork with the same as annotations.',
        commands: ['designer-findings-write'],
      },
      { text: 'Tick the kinds of page that the shop wants, and select paper for each sheet.' },
    ],
    next: 'The output, which writes panels and sheets together.',
  },
  compare: {
    title: 'Compare artworks',
    purpose:
      'What a corrected artwork changes on the panels of the job, beside the artwork that it replaces.',
    acts: [
      {
        text: 'Import a corrected artwork over the present one, or compare it first: then it waits until you use it.',
        commands: ['compare-show'],
      },
      { text: 'Swipe between before and after; red frames mark the places that have changed.' },
      {
        text: 'Read each panel: the same content, the same picture, changed, or only outside what prints. Select one to see its places alone.',
      },
      { text: 'Undo brings the earlier artwork back; seams, lines and settings stay in any case.' },
    ],
    next: 'The output, where the changed panels alone can be selected.',
  },
  output: {
    title: 'Output',
    purpose:
      'Writes the panel files and sheets into a folder of their own, and verifies each panel against the artwork.',
    acts: [
      {
        text: 'Read what holds the output up. Mend what stops it; acknowledge warnings with your name and a note.',
      },
      { text: 'Select what to write: all panels or some, panel by panel or in strips.' },
      { text: 'Select a folder and write. The files appear whole or not at all.' },
      { text: 'Wait for the verification: only a verified output is released.' },
    ],
    next: 'Print from the folder named current. The history keeps every output.',
  },
  history: {
    title: 'History',
    purpose: 'Every output of the job: who wrote it, what it holds, and whether it was verified.',
    acts: [
      { text: 'Open an output and look at its files.' },
      {
        text: 'Read which of its panels are still good, and which are of older artwork or an older panel layout.',
      },
      { text: 'Reprint panels that were damaged, byte for byte, on a screen of their own.' },
      { text: 'Enter what was really set at the printer, for the ticket of the next reprint.' },
      { text: 'Verify an output again where it lies.' },
    ],
    next: 'Back to the list for the next job.',
  },
  reprint: {
    title: 'Reprint',
    purpose: 'Panels of an earlier output that were damaged, written again byte for byte.',
    acts: [
      { text: 'Select the panels, by their pictures, and of a fleet the vehicle that they are for.' },
      { text: 'Enter the reason; it stands on each sheet and label of the reprint.' },
      { text: 'Select a folder and write. The reprint is verified as every output is.' },
      {
        text: 'Select one panel alone to patch its damage instead: draw it, and the patch grows to where its edges hide.',
      },
    ],
    next: 'The history, which keeps the reprint beside its output.',
  },
  rolls: {
    title: 'Rolls',
    purpose: 'The rolls of film and laminate that stand on the shelf, with the length left on each.',
    acts: [
      {
        text: 'Receive each roll that comes in: material, lot and roll number, true width, length.',
        commands: ['rolls-show'],
      },
      {
        text: 'Save labels and stick them on: their code finds the roll in any search field, typed or scanned.',
      },
      { text: 'Type a lot, a material or the code of a roll in the search; Enter on a code opens the roll.' },
      { text: 'Open a roll to read its ledger: what came in, what each output took, what was scrapped.' },
      {
        text: 'Correct the length when you have measured it. Undo a wrong entry; it stays, with its counter-entry.',
      },
    ],
    next: 'Production offers the rolls that fit a job, and the history takes off what an output used.',
  },
  'shared-rolls': {
    title: 'Shared rolls',
    purpose: 'Panels of several jobs on the same film, nested together to save film.',
    acts: [
      { text: 'Tick the jobs that belong together.' },
      {
        text: 'Drag panels, lock what must stay, and re-nest the rest. Steps can be undone.',
        commands: ['undo', 'redo'],
      },
      { text: 'Keep the nesting in the archive, then write its sheet.' },
    ],
    next: 'The output of each job, which names its place on the shared rolls.',
  },
  week: {
    title: 'The week',
    purpose:
      'All open jobs on one time line: what prints when on which printer, is laminated, is installed in which bay.',
    acts: [
      {
        text: 'Read the warnings: two jobs at one time, promises that cannot be kept. Nothing else needs you.',
        commands: ['week-show'],
      },
      {
        text: 'Drag a job, move it by the arrow keys, or press it and type its start. It is kept in the job.',
      },
      { text: 'Give jobs that wait a start of printing; drying, lamination and installation follow.' },
      { text: 'Undo a move, and redo it.', commands: ['undo', 'redo'] },
    ],
    next: 'Production of a job, where its clock is told step by step.',
  },
  reports: {
    title: 'Reports',
    purpose: 'What jobs really took beside their estimates, and what follows from it.',
    acts: [
      {
        text: 'Look at the figures that your last jobs propose, and take those that you believe: one press each.',
        commands: ['reports-show'],
      },
      {
        text: 'Compare jobs with their estimates; a job leads to its history, where what it took is entered.',
      },
      { text: 'Read reprints by month and reason, in area and money, and who paid.' },
      { text: 'Search the wraps that are due for removal by film, lot or date.' },
      { text: 'Save all tables for a spreadsheet.' },
    ],
    next: 'The settings of the shop, where every figure can be changed by hand.',
  },
  shop: {
    title: 'Shop',
    purpose:
      'What new jobs begin with: name, units, side names, printers, films, overlaps, bleed, limits, cost, hours.',
    acts: [
      { text: 'Set units and side names first; what you have not changed follows them.' },
      { text: 'Enter printers with true roll widths, margins and the longest print.' },
      { text: 'Enter overlaps, bleed and border as the shop works.' },
      { text: 'Enter the cost card and the hours, for estimates and the drying clock.' },
    ],
    next: 'New jobs begin with it. A job that has other settings says where it differs.',
  },
  glossary: {
    title: 'Glossary',
    purpose: 'The words of the trade, each in a sentence or two.',
    acts: [
      { text: 'Type a word to search terms and their explanations.' },
      { text: 'On other screens, a dotted line or a small question mark leads here.' },
    ],
    next: 'Back to where you came from, by the Back key of the browser or the list of jobs.',
  },
  'first-steps': {
    title: 'First steps',
    purpose: 'A job from artwork to panels in three minutes, with the demo job.',
    acts: [
      { text: 'Start. A strip above each screen says what to look at.' },
      { text: 'Go on, back, or end it whenever you like. Nothing that you try can harm another job.' },
    ],
    next: 'A job of your own: Begin with artwork.',
  },
  about: {
    title: 'About Panelwright',
    purpose:
      'Which version this is, what is new in it, how this machine is, which folder is watched, and the licenses of what it is made of.',
    acts: [
      { text: 'Check this machine where something does not work; the same is told by panelwright doctor.' },
      {
        text: 'With a shared archive, see what heavy work of all seats waits, runs and failed, and cancel any of it; panelwright queue tells the same.',
      },
      {
        text: 'Watch a folder to make jobs of the PDFs that come in. A PDF may lie in a folder named after a saved layout, or have a text of its name beside it, with lines such as “scale: 1:10”.',
      },
      { text: 'Open a package to read its license.' },
    ],
    next: 'The list of jobs.',
  },
};
