import type { Job } from '../job/schema.ts';
import type { EdgeTrim } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { printedWindows } from '../layout/window-panels.ts';
import { EDGES } from '../measure/rect.ts';
import type { ListEntry } from './blocks.ts';

/**
 * What can go wrong at the vehicle, in shop terms. Common practice, no source, except for the rule on trailer markings:
 * NHTSA interpretation 15732.ztv, and 49 CFR 393.13. Data sheets of the film, the maker of the vehicle, local law and
 * licensed practice take precedence over each point.
 */
const GENERAL: readonly string[] = [
  'The data sheets of film and laminate, the maker of the vehicle and local law come before this sheet. Work that needs a license is left to those who have it.',
  'Radar, camera, parking and other assistance sensors stay uncovered, also where the artwork runs across them. If in doubt, ask before you install.',
  'Lamps, reflectors, plates, driving-view glass, fuel and charge flaps with their labels, hazard and weight plates, vents, emergency exits and handles stay clear. Film on glass follows the local rule on light transmission.',
  'Solvents and soaked rags: closed metal container, no flame or spark, fresh air, exposure limits kept.',
  'Heat tools burn skin, crack glass, spoil paint and start fires. Keep them away from vapor and from the fuel filler. Measure the film with an infrared thermometer.',
  'Never cut into paint, glass or seals: trim over cutting tape, in a gap or on an edge. Wear cut-resistant gloves with open blades.',
  'Airbag covers, side sensors, live wiring behind lamps and mirrors, heater and antenna lines on glass, high-voltage parts: find them before you cut, heat or take off trim.',
  'Radar behind a bumper or a panel: assume that no film may lie in its field, and have it calibrated after refitting.',
  'Panels over about 3 m (10 ft) take two people, rolls a trolley or a hoist.',
  'Work at height from a platform or trestle before a ladder, on firm ground, with the vehicle chocked.',
];

const COMMERCIAL =
  'Legal name and USDOT number stay readable from 50 ft by day, and glass beside the driver keeps 70 % of its light (United States: 49 CFR 390.21, 393.60; elsewhere the local rule).';

/** FMVSS 205 and 217, 49 CFR 393.60; some other countries allow approved film only with its approval mark. */
const GLASS =
  'Film on glass: local law says which windows may carry it and how much light they must let through; none where the driver looks through (United States: FMVSS 205, 49 CFR 393.60; elsewhere the local rule). Emergency windows are cut at the seal, opened and tested one by one (FMVSS 217).';

const TRAILER =
  'DOT reflective tape stays whole: film over any part of it breaks the rule for the vehicle (United States: FMVSS 108, 49 CFR 393.13; elsewhere the local rule).';

export function cautionEntries(job: Job): ListEntry[] {
  const kinds = job.vehicles.map(({ kind }) => kind);
  const hasTape = kinds.some((kind) => kind === 'trailer' || kind === 'box-body' || kind === 'truck');
  const isCommercial = kinds.some((kind) => kind !== 'trailer' && kind !== 'car');
  const hasGlass = job.sides.some((side) => printedWindows(side).length > 0);
  const texts = [
    ...GENERAL,
    ...(isCommercial ? [COMMERCIAL] : []),
    ...(hasGlass ? [GLASS] : []),
    ...(hasTape ? [TRAILER] : []),
  ];
  return texts.map((text, index) => ({ mark: String(index + 1), text }));
}

export const BLANK = '________';
const KNIFE = 'Snap-off knife with fresh blades, to trim in body gaps and on edges of the body';

/** Tools for trimming edges, by kind of trim. */
const TRIM_TOOLS: Readonly<Partial<Record<EdgeTrim, string>>> = {
  tape: 'Cutting tape, laid before the film on every seam that is trimmed over it',
  gap: KNIFE,
  edge: KNIFE,
};

/** Temperatures from the film's record, or blanks to fill in from its data sheet. */
export function heatSentence(job: Job): string {
  const film = job.production?.film;
  const name = film?.name ?? job.film.name;
  const degrees = (celsius: number | undefined) => {
    const sign = job.displayUnit === 'in' ? '°F' : '°C';
    if (celsius === undefined) return `${BLANK} ${sign}`;
    return `${Math.round(job.displayUnit === 'in' ? celsius * 1.8 + 32 : celsius)} ${sign}`;
  };
  const heat = film?.heat;
  const source = heat ? `as entered for ${name}` : `from the data sheet of ${name}`;
  return `Form the film at ${degrees(heat?.formFromC)} to ${degrees(heat?.formToC)}; post-heat it at ${degrees(heat?.setC)} (${source}).`;
}

/** Stretch limit of the job's film, where its record has one. */
export function stretchSentence({ production }: Job): string | undefined {
  const film = production?.film;
  return film && `No part of ${film.name} more than ${film.stretchLimitPercent} % longer than unstretched.`;
}

/** Tools needed for the job's edges. */
export function toolEntries(layouts: readonly SideLayout[]): ListEntry[] {
  const trims = new Set(
    layouts.flatMap(({ panels }) => panels.flatMap((panel) => EDGES.map((edge) => panel.edges[edge].trim))),
  );
  const cutting = [...new Set([...trims].flatMap((trim) => TRIM_TOOLS[trim] ?? []))].toSorted();
  const entries = [
    'Tape measure, masking tape, soft squeegee, cut-resistant gloves',
    ...cutting,
    'Heat gun and infrared thermometer, measured on the film and not on the tool',
  ];
  return entries.map((text) => ({ mark: '•', text }));
}
