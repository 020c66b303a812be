import { type Finding, finding, withFigure } from '../../findings/finding.ts';
import { listText } from '../../measure/list-text.ts';
import { occurrencesOnSide, type PageCheck, placeOnPage, placeOnSide } from '../check-context.ts';
import type { ScannedSpot } from '../scan/schema.ts';
import { isSameSpotColor, type SpotColor, spotColorText } from '../scan/spot-color.ts';
import { isSpotNameAlike } from '../spot-names.ts';

const PROCESS_INKS = ['Cyan', 'Magenta', 'Yellow', 'Black'];
/** Up to this many inks or pairs are named one by one. */
const MAX_NAMED = 12;
/** Prints on every plate; used for marks. */
const REGISTRATION = 'All';

interface UsedSpot {
  readonly name: string;
  readonly alternates: readonly string[];
  readonly colors: readonly SpotColor[];
  /** The first page and place where it is used. */
  readonly check: PageCheck;
  readonly spot: ScannedSpot;
  readonly pages: readonly number[];
}

/** The spot inks of all pages that carry a side: they are plates of the whole job. */
export function spotFindings(checks: readonly PageCheck[]): Finding[] {
  const spots = usedSpots(checks);
  return [
    ...spotList(spots),
    ...spots
      .flatMap((spot, i) => spots.slice(i + 1).flatMap((other) => alikeFindings(spot, other)))
      .slice(0, MAX_NAMED),
    ...spots.flatMap(processFindings),
    ...spots.flatMap(alternateFindings),
    ...checks.flatMap(registrationFindings),
  ];
}

/** Spots printed on any side, in order of first use. Spots used only in the slug line do not count. */
export function usedSpots(checks: readonly PageCheck[]): UsedSpot[] {
  const used = new Map<string, UsedSpot>();
  for (const check of checks) {
    for (const spot of check.page.spots) {
      const isPrinted = placeOnPage(check, spot).sideId !== undefined;
      if (spot.name === REGISTRATION || !isPrinted) continue;
      const known = used.get(spot.name);
      used.set(spot.name, {
        name: spot.name,
        check: known?.check ?? check,
        spot: known?.spot ?? spot,
        alternates: [...new Set([...(known?.alternates ?? []), ...spot.alternates])],
        colors: colorsJoined(known?.colors ?? [], spot.colors),
        pages: [...(known?.pages ?? []), check.page.number],
      });
    }
  }
  return [...used.values()];
}

const colorsJoined = (known: readonly SpotColor[], more: readonly SpotColor[]): readonly SpotColor[] => [
  ...known,
  ...more.filter((color) => !known.some((other) => isSameSpotColor(color, other))),
];

function spotList(spots: readonly UsedSpot[]): Finding[] {
  if (spots.length === 0) return [];
  const inks = spots
    .slice(0, MAX_NAMED)
    .map(
      ({ name, alternates, pages }) =>
        `${name} (else ${listText(alternates)}, ${pages.length === 1 ? 'page' : 'pages'} ${listText(pages.map(String))})`,
    );
  return [
    withFigure(
      spots.length,
      finding(
        'spots-used',
        'note',
        {},
        `The artwork uses ${spots.length === 1 ? 'one spot ink' : `${spots.length} spot inks`}: ${listText(spots.length > MAX_NAMED ? [...inks, `${spots.length - MAX_NAMED} more`] : inks)}.`,
        'Load or look up these inks in the RIP; where it knows none, it prints the other color named here.',
      ),
    ),
  ];
}

/** Keeps AC6. */
function alikeFindings(a: UsedSpot, b: UsedSpot): Finding[] {
  if (!isSpotNameAlike(a.name, b.name)) return [];
  return [
    finding(
      'spot-alike',
      'warn',
      { ...placeOnPage(b.check, b.spot), itemId: `${a.name}=${b.name}` },
      `The spot inks “${a.name}” and “${b.name}” look like one ink written in two ways, and would print as two.`,
      'Ask for one name throughout, or give both the same recipe in the RIP.',
    ),
  ];
}

function processFindings({ name, check, spot }: UsedSpot): Finding[] {
  const process = PROCESS_INKS.find((ink) => isSpotNameAlike(ink, name));
  if (process === undefined) return [];
  return [
    finding(
      'spot-like-process',
      'warn',
      { ...placeOnPage(check, spot), itemId: name },
      `The spot ink “${name}” looks like the process ink ${process}, and would print as an ink of its own.`,
      `Ask for the process ink ${process} in its place, or map the one to the other in the RIP.`,
    ),
  ];
}

function alternateFindings({ name, alternates, colors, check, spot }: UsedSpot): Finding[] {
  if (alternates.length < 2 && colors.length < 2) return [];
  const ways = colors.length < 2 ? alternates : colors.slice(0, MAX_NAMED).map(spotColorText);
  return [
    finding(
      'spot-two-colors',
      'warn',
      { ...placeOnPage(check, spot), itemId: name },
      `The spot ink “${name}” is defined in more than one way, by ${listText(ways)}, so it may print in two colors.`,
      'Ask for one definition throughout, or give the ink a recipe in the RIP.',
    ),
  ];
}

/** Keeps AC7. */
function registrationFindings(check: PageCheck): Finding[] {
  const registration = check.page.spots.find(({ name }) => name === REGISTRATION);
  if (registration === undefined) return [];
  return check.sides.flatMap((side) => {
    const on = occurrencesOnSide(side, registration);
    if (on === undefined) return [];
    return [
      finding(
        'color-registration',
        'warn',
        placeOnSide(side, on.places[0]),
        `Side ${side.side.code} is painted in the registration color, which puts every ink on the same spot.`,
        'Ask for these objects in black; the registration color is for marks beside the artwork.',
      ),
    ];
  });
}
