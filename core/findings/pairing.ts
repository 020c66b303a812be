/**
 * Which laminate may go on which film. The rules are common practice, no source: the film's data sheet takes
 * precedence, so each rule can be overridden with a note that prints on the ticket.
 */

import { lengthText } from '../measure/length-text.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { Override, PairingCode } from '../shop/override.ts';
import {
  FILM_KIND_NAMES,
  type FilmKind,
  type ShelfFilm,
  type ShelfItem,
  type ShelfLaminate,
} from '../shop/shelf.ts';
import { stretchText } from '../vehicle/ground-depth.ts';
import { type Finding, finding, type Severity } from './finding.ts';

/** What the job requires of film and laminate. */
export interface PairingOrder {
  readonly film: ShelfFilm;
  /** Undefined where the print gets no laminate. */
  readonly laminate: ShelfLaminate | undefined;
  /** Whether any side has recesses or compound curves under film. */
  readonly hasDifficultGround: boolean;
  /** Life promised to the customer; undefined where none was promised. */
  readonly promisedYears: number | undefined;
  /** Finish as ordered; empty where any finish is fine. */
  readonly orderedFinish: string;
  /** Stretch of the most difficult place with a known depth, in percent, after film is fed in there. */
  readonly stretchPercent?: number;
  /** Unit of lengths in the texts; mm where absent. */
  readonly unit?: 'mm' | 'in';
}

const SHEET_WINS = "The film's data sheet wins: override this with a note if it says so.";

/** `use`: the use, where only one of the two is meant. */
const pairingFinding = (
  code: PairingCode,
  severity: Severity,
  message: string,
  remedy: string,
  use?: ShelfItem['use'],
): Finding =>
  finding(code, severity, use === undefined ? {} : { itemId: use }, message, `${remedy} ${SHEET_WINS}`);

const isCalendered = (kind: FilmKind): boolean => kind !== 'cast';

/** Findings about a film and its laminate on this job; overridden rules become notes. */
export function pairingFindings(order: PairingOrder, overrides: readonly Override[] = []): Finding[] {
  const { film, laminate } = order;
  return overridden(
    [
      ...(laminate ? laminateFindings(film, laminate, order.unit ?? 'mm') : [noLaminate(film)]),
      ...formingFindings(order),
      ...promiseFindings(order),
    ],
    overrides,
  );
}

/** A material as a job names it, before one is selected from the shelf. */
type NamedMaterial = Pick<ShelfFilm, 'name' | 'kind'>;
type NamedFilm = NamedMaterial & Pick<ShelfFilm, 'perforated'>;
type NamedLaminate = NamedMaterial & Pick<ShelfLaminate, 'opticallyClear'>;

/** Findings for materials known only by name and kind: whether the kinds go together. */
export const kindPairingFindings = (
  film: NamedFilm,
  laminate: NamedLaminate | undefined,
  overrides: readonly Override[] = [],
): Finding[] => {
  if (laminate) return overridden(kindFindings(film, laminate), overrides);
  return film.perforated ? overridden([noLaminate(film)], overrides) : [];
};

/** Keeps PR5. */
function overridden(findings: readonly Finding[], overrides: readonly Override[]): Finding[] {
  return findings.map((finding) => {
    const override = overrides.find(({ code }) => code === finding.code);
    if (!override) return finding;
    return {
      ...finding,
      severity: 'note',
      message: `${finding.message} Overridden by ${override.by}: ${override.note}`,
      remedy: 'Nothing to do; the note prints on the ticket.',
    };
  });
}

const noLaminate = ({ perforated }: Pick<ShelfFilm, 'perforated'>): Finding =>
  pairingFinding(
    'pair-no-laminate',
    'warn',
    perforated
      ? 'The perforated film has no laminate: water and dirt fill its holes, and nobody sees through it.'
      : 'The print has no laminate: rubbing, washing and sunlight reach the ink.',
    'Select a laminate, unless the order is for an unlaminated print.',
  );

/** People look through a laminate on glass, so it must be clear, of any kind. Keeps GLS3. */
function notClear(film: NamedFilm, laminate: NamedLaminate): Finding[] {
  if (laminate.opticallyClear) return [];
  return [
    pairingFinding(
      'pair-not-clear',
      'stop',
      `${laminate.name} is not optically clear, ${film.name} is perforated: the view through the glass blurs.`,
      'Select an optically clear laminate.',
    ),
  ];
}

/** Keeps PR3. */
function kindFindings(film: NamedFilm, laminate: NamedLaminate): Finding[] {
  if (film.perforated) return notClear(film, laminate);
  const findings: Finding[] = [];
  if (film.kind === 'cast' && isCalendered(laminate.kind)) {
    findings.push(
      pairingFinding(
        'pair-calendered-on-cast',
        'stop',
        `${laminate.name} is ${FILM_KIND_NAMES[laminate.kind]}, ${film.name} is cast: the laminate shrinks and lifts the edges.`,
        'Select a cast laminate.',
      ),
    );
  }
  if (isCalendered(film.kind) && laminate.kind === 'cast') {
    findings.push(
      pairingFinding(
        'pair-cast-on-calendered',
        'warn',
        `${laminate.name} is cast, ${film.name} is ${FILM_KIND_NAMES[film.kind]}: the pair lasts no longer than the film.`,
        'Select a calendered laminate, or a cast film if the job needs one.',
      ),
    );
  }
  if (film.kind === 'calendered-polymeric' && laminate.kind === 'calendered-monomeric') {
    findings.push(
      pairingFinding(
        'pair-monomeric-on-polymeric',
        'warn',
        `${laminate.name} is monomeric, ${film.name} is polymeric: the laminate shrinks sooner than the film.`,
        'Select a polymeric laminate.',
      ),
    );
  }
  return findings;
}

/** Keeps PR4. */
function laminateFindings(film: ShelfFilm, laminate: ShelfLaminate, unit: 'mm' | 'in'): Finding[] {
  const findings = kindFindings(film, laminate);
  if (film.adhesive && laminate.adhesive && !isSameWord(film.adhesive, laminate.adhesive)) {
    findings.push(
      pairingFinding(
        'pair-adhesive',
        'warn',
        `${film.name} has ${film.adhesive} adhesive, ${laminate.name} has ${laminate.adhesive}.`,
        'Select a laminate with the same type of adhesive.',
      ),
    );
  }
  if (laminate.widthMm < film.widthMm - LENGTH_TOLERANCE_MM) {
    findings.push(
      pairingFinding(
        'pair-laminate-narrow',
        'stop',
        `${laminate.name} is ${lengthText(laminate.widthMm, unit)} wide, ${film.name} is ${lengthText(film.widthMm, unit)}: an edge stays uncovered.`,
        'Select a laminate at least as wide as the film.',
      ),
    );
  }
  return findings;
}

function formingFindings({ film, laminate, hasDifficultGround, stretchPercent }: PairingOrder): Finding[] {
  const findings: Finding[] = [];
  const calendered = [film, laminate].flatMap((material) =>
    material && isCalendered(material.kind) ? [material.name] : [],
  );
  if (hasDifficultGround && calendered.length > 0) {
    findings.push(
      pairingFinding(
        'pair-difficult-ground',
        'stop',
        `Recesses and compound curves need cast film with cast laminate; calendered here: ${calendered.join(', ')}.`,
        'Select a cast pair, or keep film off these areas.',
      ),
    );
  }
  if (stretchPercent !== undefined && stretchPercent > film.stretchLimitPercent + 1e-6) {
    findings.push(
      pairingFinding(
        'pair-stretch',
        'stop',
        `The job makes film ${stretchText(stretchPercent)} % longer than unstretched, with all film fed in that its panels have to spare; ${film.name} may become ${film.stretchLimitPercent} % longer.`,
        'Put a relief seam there, or select a film that stretches further.',
      ),
    );
  }
  return findings;
}

function promiseFindings({ film, laminate, promisedYears, orderedFinish }: PairingOrder): Finding[] {
  const findings: Finding[] = [];
  const materials = laminate ? [film, laminate] : [film];
  if (promisedYears !== undefined) {
    for (const material of materials.filter(({ serviceYears }) => serviceYears < promisedYears)) {
      findings.push(
        pairingFinding(
          'pair-service-life',
          'stop',
          `${yearsText(promisedYears)} were promised; ${material.name} is made for ${yearsText(material.serviceYears)}.`,
          'Select a material with a longer life, or promise less.',
          material.use,
        ),
      );
    }
  }
  // The outermost layer is the visible one.
  const outermost = laminate ?? film;
  if (orderedFinish.trim() !== '' && !isSameWord(orderedFinish, outermost.finish)) {
    findings.push(
      pairingFinding(
        'pair-finish',
        'warn',
        `Ordered finish: ${orderedFinish.trim()}; ${outermost.name} is ${outermost.finish.trim() || 'of no stated finish'}.`,
        'Select a material with the finish as ordered, or ask the customer.',
      ),
    );
  }
  return findings;
}

const isSameWord = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();

const yearsText = (years: number): string => `${years} ${years === 1 ? 'year' : 'years'}`;
