import { type Finding, finding } from '../../findings/finding.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import { decimalText } from '../../measure/length-text.ts';
import { listText } from '../../measure/list-text.ts';
import { EDGES, type EdgeLengths, type Rect, rectExcess } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import type { PageCheck } from '../check-context.ts';

/** Boxes are written with few digits, so a smaller difference, as drawn, is unintended. */
const BOX_SLACK_MM: Mm = 0.1;
const NAMES = {
  media: 'MediaBox',
  crop: 'CropBox',
  bleed: 'BleedBox',
  trim: 'TrimBox',
  art: 'ArtBox',
} as const;

/** Compares the page's boxes with the box that the sides are measured from. Keeps AC16. */
export function boxFindings(check: PageCheck): Finding[] {
  return [
    ...choiceFindings(check),
    ...bleedBoxFindings(check),
    ...trimFindings(check),
    ...pageFindings(check),
  ];
}

const say = ({ page }: PageCheck, code: string, message: string, remedy: string): Finding =>
  finding(code, 'note', { page: page.number }, message, remedy);

function choiceFindings(check: PageCheck): Finding[] {
  const { page, job, length } = check;
  const chosen = job.artwork?.box;
  if (chosen === undefined) return [];
  const states = (name: keyof typeof NAMES) => page.statedBoxes.includes(name);
  const differs = (name: keyof typeof NAMES, from: keyof typeof NAMES) =>
    isApart(page.boxes[name], page.boxes[from]);
  const findings: Finding[] = [];
  const finished = (['trim', 'art'] as const).find((name) => states(name) && differs(name, chosen));
  if (chosen !== 'trim' && chosen !== 'art' && finished !== undefined) {
    const { width, height } = page.boxes[finished];
    findings.push(
      say(
        check,
        'page-box-choice',
        `The sides on page ${page.number} are measured from the ${NAMES[chosen]}, but the page also states a ${NAMES[finished]} of ${length(width)} × ${length(height)}, as drawn, which is the finished size.`,
        `Check which of the two the measures of the sides belong to, and import again from the ${NAMES[finished]} if need be.`,
      ),
    );
  }
  if (states('trim') && states('art') && differs('trim', 'art')) {
    findings.push(
      say(
        check,
        'page-box-two',
        `Page ${page.number} states both a TrimBox and a different ArtBox, so there are two finished sizes.`,
        'Ask which of the two is the finished size.',
      ),
    );
  }
  return findings;
}

/** A page whose paint extends past its finished size but that declares no bleed. */
function bleedBoxFindings(check: PageCheck): Finding[] {
  const { page, length } = check;
  const { trim, bleed } = page.boxes;
  if (!page.statedBoxes.includes('trim') || !page.paint.isComplete || isApart(bleed, trim)) return [];
  const isUnstated = !page.statedBoxes.includes('bleed');
  const runsOn = page.paint.areas
    .filter(({ isWhite, area }) => !isWhite && isAcross(area, trim))
    .map(({ area }) => rectExcess<'drawn'>(area, trim));
  const reach = Math.max(0, ...runsOn.flatMap((excess) => EDGES.map((edge) => excess[edge])));
  if (reach <= BOX_SLACK_MM) return [];
  return [
    say(
      check,
      'page-box-no-bleed',
      `Page ${page.number} ${isUnstated ? 'states no BleedBox' : 'states a BleedBox that is the TrimBox'}, although its art extends up to ${length(reach)} beyond, as drawn.`,
      'Nothing to do where the sides ask for their bleed; other programs may cut the art off at the TrimBox.',
    ),
  ];
}

/** Whether an area is on both sides of an edge of the box; crop marks and slug lines are wholly outside. */
const isAcross = (area: Rect, box: Rect): boolean =>
  area.x < box.x + box.width &&
  box.x < area.x + area.width &&
  area.y < box.y + box.height &&
  box.y < area.y + area.height;

function trimFindings(check: PageCheck): Finding[] {
  const { page, sides, length } = check;
  if (!page.statedBoxes.includes('trim')) return [];
  return sides.flatMap(({ side }) => {
    const excess = rectExcess(rectFromStored<'drawn'>(side.artworkRect), page.boxes.trim);
    const edges = EDGES.filter((edge) => excess[edge] > BOX_SLACK_MM);
    if (edges.length === 0) return [];
    return [
      finding(
        'side-outside-trim',
        'note',
        { sideId: side.id, page: page.number },
        `Side ${side.code} reaches beyond the TrimBox of page ${page.number}, its finished size: ${amountsText(excess, length)}, as drawn.`,
        'Check the place of the side on the page: what lies out there was meant as bleed or as marks.',
      ),
    ];
  });
}

const amountsText = (excess: EdgeLengths, length: (mm: Mm) => string): string =>
  listText(
    EDGES.filter((edge) => excess[edge] > BOX_SLACK_MM).map(
      (edge) => `${length(excess[edge])} at the ${edge}`,
    ),
  );

function pageFindings(check: PageCheck): Finding[] {
  const { page } = check;
  const findings: Finding[] = [];
  if (page.userUnit !== 1) {
    findings.push(
      say(
        check,
        'page-user-unit',
        `Page ${page.number} is drawn in units ${decimalText(page.userUnit, 4)} times as large as usual (UserUnit), which counts here but not in every program.`,
        'Check the measured size of one side against the drawing.',
      ),
    );
  }
  if (page.rotate !== 0) {
    findings.push(
      say(
        check,
        'page-rotated',
        `Page ${page.number} is turned by ${page.rotate}° for viewing; the sides are cut as the page is shown.`,
        'Nothing to do, unless the picture lies on its side.',
      ),
    );
  }
  return findings;
}

const isApart = (a: Rect, b: Rect): boolean =>
  Math.abs(a.x - b.x) > BOX_SLACK_MM ||
  Math.abs(a.y - b.y) > BOX_SLACK_MM ||
  Math.abs(a.width - b.width) > BOX_SLACK_MM ||
  Math.abs(a.height - b.height) > BOX_SLACK_MM;
