/**
 * The list of findings for people: equal findings become one line, “8 no-film areas: …”. Screens, check, output and
 * ticket all show these groups.
 */
import { sideLines } from '../../job/door.ts';
import type { Job, Side } from '../../job/schema.ts';
import { seamAtText } from '../../layout/seam-line-place.ts';
import type { SideLayout } from '../../layout/side-layout.ts';
import { firstOf } from '../../measure/present.ts';
import { type Finding, findingKey, type Severity } from '../finding.ts';
import { jobLengthText } from './finding-context.ts';
import { isAcknowledged } from './findings.ts';

/** Findings of one code and severity, all of them acknowledged or none. */
export interface FindingGroup {
  readonly key: string;
  readonly severity: Severity;
  readonly isAcknowledged: boolean;
  readonly findings: readonly Finding[];
  /** The message of a single finding; for several, their count and kind, and where each is. */
  readonly title: string;
  readonly remedy: string;
}

/** In the order of the findings: a group takes the place of its first finding. */
export function findingGroups(
  job: Job,
  layouts: readonly SideLayout[],
  findings: readonly Finding[],
): FindingGroup[] {
  const byKind = Map.groupBy(
    findings,
    (finding) => `${finding.severity} ${finding.code} ${isAcknowledged(job, finding) ? 'acknowledged' : ''}`,
  );
  return [...byKind].map(([key, alike]) => {
    const first = firstOf(alike);
    const remedies = new Set(alike.map(({ remedy }) => remedy));
    return {
      key,
      severity: first.severity,
      isAcknowledged: isAcknowledged(job, first),
      findings: alike,
      title: alike.length === 1 ? first.message : groupTitle(job, layouts, alike),
      remedy: remedies.size === 1 ? first.remedy : 'Each has a remedy of its own.',
    };
  });
}

const kindOf = (code: string): readonly [one: string, many: string] | undefined =>
  Object.hasOwn(KINDS, code) ? KINDS[code] : undefined;

/** Count and kind of the findings in a group: `8 no-film areas`. */
export const findingsCounted = (code: string, count: number): string => {
  const [one, many] = kindOf(code) ?? ['finding of this kind', 'findings of this kind'];
  return `${count} ${count === 1 ? one : many}`;
};

function groupTitle(job: Job, layouts: readonly SideLayout[], alike: readonly Finding[]): string {
  const places = [...new Set(alike.map((finding) => findingPlace(job, layouts, finding)))];
  const { code } = firstOf(alike);
  if (kindOf(code)) return `${findingsCounted(code, alike.length)}: ${places.join(', ')}.`;
  // Findings without a plural name are written out in full, each message once.
  return alike.map(({ message }) => message).join(' ');
}

/** Where a finding is, in few words: `LH-03`, `LH “Driver window”`, `the vertical seam at 1250 mm of LH`. */
export function findingPlace(job: Job, layouts: readonly SideLayout[], finding: Finding): string {
  const { sideId, panelId, seamId, itemId, page } = finding.where;
  const layout = layouts.find(({ side, panels }) =>
    panelId === undefined ? side.id === sideId : panels.some(({ id }) => id === panelId),
  );
  const panel = layout?.panels.find(({ id }) => id === panelId);
  const side = layout?.side ?? job.sides.find(({ id }) => id === sideId);
  const seam = layout?.seams.find(({ id }) => id === seamId);
  const what = finding.about ?? itemName(side, itemId);
  if (panel) return what ? `${panel.label} ${what}` : panel.label;
  if (side && seam) {
    const at = `${side.code} seam at ${seamAtText(seam, jobLengthText(job))}`;
    // “74 in “Rear wheel arch”” would read as a place inside it.
    return what ? `${at} (${what})` : at;
  }
  if (side) return what ? `${side.code} ${what}` : side.code;
  if (what) return what;
  return page === undefined ? finding.message.replace(/\.$/, '') : `page ${page}`;
}

function itemName(side: Side | undefined, itemId: string | undefined): string | undefined {
  const items = side
    ? [...side.noFilmAreas, ...side.noSeamAreas, ...side.ground, ...(side.doors ?? []), ...sideLines(side)]
    : [];
  const name = items.find(({ id }) => id === itemId)?.name;
  return name === undefined ? undefined : `“${name}”`;
}

/** Name of what is found, singular and plural. */
const KINDS: Readonly<Record<string, readonly [one: string, many: string]>> = {
  'no-film-area-act': ['no-film area', 'no-film areas'],
  'seam-through-lettering': ['seam through small lettering', 'seams through small lettering'],
  'seam-through-phone-number': ['seam through a phone number', 'seams through phone numbers'],
  'seam-through-web-address': ['seam through a web address', 'seams through web addresses'],
  'seam-through-legal-marking': ['seam through a legal marking', 'seams through legal markings'],
  'seam-along-upright-stroke': [
    'seam along an upright stroke of lettering',
    'seams along upright strokes of lettering',
  ],
  'seam-through-large-lettering': ['seam through large lettering', 'seams through large lettering'],
  'seam-through-likely-lettering': [
    'seam through shapes that may be lettering',
    'seams through shapes that may be lettering',
  ],
  'lettering-ignored': [
    'lettering that is ignored as decoration',
    'letterings that are ignored as decoration',
  ],
  'faces-not-looked-for': [
    'side whose seams cross pictures, faces perhaps',
    'sides whose seams cross pictures, faces perhaps',
  ],
  'lettering-not-looked-for': [
    'side looked through for live text alone',
    'sides looked through for live text alone',
  ],
  'seam-through-no-seam-area': ['seam through a no-seam area', 'seams through no-seam areas'],
  'lap-in-no-seam-area': [
    'overlap that reaches into a no-seam area',
    'overlaps that reach into no-seam areas',
  ],
  'seam-crosses-no-film-area': ['seam that crosses a no-film area', 'seams that cross no-film areas'],
  'seam-near-no-film-area': ['seam beside a no-film area', 'seams beside no-film areas'],
  'seam-through-difficult-ground': ['seam on difficult ground', 'seams on difficult ground'],
  'ground-depth-off': ['depth that does not fit its area', 'depths that do not fit their areas'],
  'ground-feed': ['panel to feed into a recess or curve', 'panels to feed into a recess or curve'],
  'ground-feed-short': [
    'panel with too little film for a recess or curve',
    'panels with too little film for a recess or curve',
  ],
  'seam-near-body-line': ['seam beside a body line', 'seams beside body lines'],
  'seam-shape-film': ['seam whose shape costs film', 'seams whose shape costs film'],
  'seam-shape-sharp': ['seam with a sharp corner', 'seams with sharp corners'],
  'seam-across-gap': ['overlap across a body gap', 'overlaps across body gaps'],
  'seam-leaves-gap': ['body-gap seam that leaves its gap', 'body-gap seams that leave their gaps'],
  'door-seam-closed': ['seam across the gap of a door', 'seams across the gaps of doors'],
  'door-gap-past': ['body-gap seam that runs past a door', 'body-gap seams that run past doors'],
  'door-hinge-seam': ['seam beside the hinges of a door', 'seams beside the hinges of doors'],
  'door-scrapes-seam': ['overlap that a sliding door scrapes', 'overlaps that sliding doors scrape'],
  'output-of-older-layout': ['output of an older panel layout', 'outputs of an older panel layout'],
  'lap-zero': ['overlap seam without overlap', 'overlap seams without overlap'],
  'lap-narrow': ['overlap seam under the least overlap', 'overlap seams under the least overlap'],
  'lap-nothing-under': ['overlap seam with nothing underneath', 'overlap seams with nothing underneath'],
  'lap-past-neighbor': ['overlap that reaches past its neighbor', 'overlaps that reach past their neighbors'],
  'lap-unequal-on-line': ['seam line with different overlaps', 'seam lines with different overlaps'],
  'lap-against-water': [
    'overlap seam with its lower part on top',
    'overlap seams with their lower part on top',
  ],
  'lap-against-wind': ['overlap seam with its rear part on top', 'overlap seams with their rear part on top'],
  'shop-trim': ['edge to trim in the shop', 'edges to trim in the shop'],
  'panel-day-before-covered': [
    'panel installed before the one below it',
    'panels installed before those below them',
  ],
  'roll-days-mixed': [
    'panel printed before those of an earlier day',
    'panels printed before those of an earlier day',
  ],
  'panel-too-wide': ['panel too wide for the roll', 'panels too wide for the roll'],
  'panel-too-long': ['panel too long to print', 'panels too long to print'],
  'panel-sliver': ['panel under the least width', 'panels under the least width'],
  'panel-mostly-no-film': ['panel that is mostly without film', 'panels that are mostly without film'],
  'panel-dropped': ['panel without film', 'panels without film'],
  'artwork-missing-under-overlap': [
    'panel without artwork for its overlap',
    'panels without artwork for their overlap',
  ],
  'artwork-missing-under-bleed': [
    'panel without artwork for its bleed',
    'panels without artwork for their bleed',
  ],
  'bleed-none': ['side with an edge without bleed', 'sides with edges without bleed'],
  'bleed-short': ['edge with less paint than its bleed', 'edges with less paint than their bleed'],
  'edge-bare': ['bare edge', 'bare edges'],
  'marking-covered': ['marking under the artwork', 'markings under the artwork'],
  'window-law': ['window to be printed', 'windows to be printed'],
  'window-too-small': ['window too small for film', 'windows too small for film'],
  'window-near-seal': ['window whose film reaches its seal', 'windows whose film reaches their seal'],
  'window-film-solid': ['window on film without holes', 'windows on film without holes'],
  'window-too-wide': ['window too wide for its film', 'windows too wide for their film'],
  'perforated-on-body': ['panel on perforated film beside glass', 'panels on perforated film beside glass'],
  'check-in-off': [
    'dimension of the vehicle that differs from the drawing',
    'dimensions of the vehicle that differ from the drawing',
  ],
  'item-outside-side': ['line or area outside its side', 'lines or areas outside their sides'],
  'side-scale': ['side off by its scale', 'sides off by their scale'],
  'side-proportion': ['side of other proportions', 'sides of other proportions'],
  'side-beyond-page': ['side that reaches beyond its page', 'sides that reach beyond their page'],
  'side-on-no-page': ['side on no page of the artwork', 'sides on no page of the artwork'],
  'side-off-page': ['side outside its page', 'sides outside their page'],
  'side-without-panels': ['side without a panel to print', 'sides without a panel to print'],
  'page-missing': ['side on a page that is not there', 'sides on pages that are not there'],
  'page-beyond-pdf-limit': [
    'side with panels longer than a PDF page',
    'sides with panels longer than a PDF page',
  ],
  'image-coarse': ['side with an image whose pixels show', 'sides with images whose pixels show'],
  'lettering-small': ['side with lettering too small to read', 'sides with lettering too small to read'],
  'guide-left-on': ['page with the panel guide left on', 'pages with the panel guide left on'],
  'ink-heavy': ['place with too much ink in the file', 'places with too much ink in the file'],
  'coverage-over-limit': ['panel with too much ink', 'panels with too much ink'],
  'spot-alike': ['spot ink in two spellings', 'spot inks in two spellings'],
  'roll-panel-too-wide': ['panel too wide for its roll', 'panels too wide for their roll'],
  'roll-panel-too-long': ['panel too long for its roll', 'panels too long for their roll'],
  'roll-panel-without-place': ['panel without a place on a roll', 'panels without a place on a roll'],
  'roll-overlap': ['panel that lies on another', 'panels that lie on others'],
  'roll-gap': ['panel too near to its neighbor', 'panels too near to their neighbors'],
  'roll-cut': ['panel that no straight cut frees', 'panels that no straight cut frees'],
};

/** The screen where a finding is resolved. */
export type FindingHome = 'bench' | 'production' | 'sheets' | 'output';

const OUTPUT_CODES: ReadonlySet<string> = new Set([
  'page-beyond-pdf-limit',
  'reduction-not-whole',
  'border-too-narrow-for-marks',
  'contours-in-panels',
]);

export function findingHome({ code }: Pick<Finding, 'code'>): FindingHome {
  if (OUTPUT_CODES.has(code)) return 'output';
  if (code.startsWith('proof-')) return 'sheets';
  return /^(?:roll|pair|dry|coverage)-/.test(code) ? 'production' : 'bench';
}

/** What blocks the output, in one line: `2 panels too wide for the roll, 1 seam through a phone number`. */
export function blockingText(blocking: readonly Finding[]): string {
  const kinds = Map.groupBy(blocking, ({ code }) => code);
  const named = [...kinds].map(([code, alike]) =>
    Object.hasOwn(KINDS, code) ? findingsCounted(code, alike.length) : alike.map(subjectOf).join(', '),
  );
  const more = named.length - MOST_KINDS;
  return [...named.slice(0, MOST_KINDS), ...(more > 0 ? [`${more} more`] : [])].join(', ');
}

/** A button has no room for a longer list, and the findings themselves are beside it. */
const MOST_KINDS = 3;

/** A message up to its first clause, enough to identify it. */
const subjectOf = ({ message }: Finding): string => firstOf(message.split(/[:;,.] |\.$/));

export const findingId = (finding: Finding): string => `${findingKey(finding)} ${finding.message}`;
