/** The kinds of pieces on a fill list, and how much they are needed: plain words, read without a schema. */

export const FILL_KINDS = [
  'patch',
  'reprint',
  'unit-number',
  'door-logo',
  'remnant',
  'spare-strip',
  'other',
] as const;
export type FillKind = (typeof FILL_KINDS)[number];

/** What people call them. */
export const FILL_KIND_NAMES: Readonly<Record<FillKind, string>> = {
  patch: 'Patch',
  reprint: 'Reprint',
  'unit-number': 'Unit number',
  'door-logo': 'Door logo',
  remnant: 'Blank remnant',
  'spare-strip': 'Spare strip',
  other: 'Other',
};

/** From what is needed most. */
export const FILL_NEEDS = ['now', 'soon', 'spare'] as const;
export type FillNeed = (typeof FILL_NEEDS)[number];

export const FILL_NEED_NAMES: Readonly<Record<FillNeed, string>> = {
  now: 'Needed now',
  soon: 'Wanted',
  spare: 'If there is room',
};

/** A damaged vehicle waits for a patch or a reprint; spare pieces wait for nothing. */
export const needOfKind = (kind: FillKind): FillNeed => {
  if (kind === 'patch' || kind === 'reprint') return 'now';
  return kind === 'unit-number' || kind === 'door-logo' ? 'soon' : 'spare';
};
