/** What can be wrong with a roll plan, each as a sentence with its remedy, lengths in the unit of the job. */
import { type Finding, finding, type Place } from '../findings/finding.ts';
import { lengthText } from '../measure/length-text.ts';
import { listText } from '../measure/list-text.ts';
import { filmLengthText } from '../measure/long-length.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';

/** Says lengths as the job does. */
type Lengths = Pick<RollRules, 'unit'>;

/** Nobody lays film to a tenth of a millimeter. */
const lengthOf = (length: Mm, { unit }: Lengths): string =>
  lengthText(unit === 'mm' ? Math.round(length) : length, unit);

/** Along the film, where lengths are long. */
const runOf = (length: Mm, { unit }: Lengths): string =>
  filmLengthText(unit === 'mm' ? Math.round(length) : length, unit);

/** `other`: the panel that is in the way, or the edge that is crossed. */
const at = (item: PackItem, roll?: RollStock, other?: string): Place => ({
  sideId: item.sideId,
  panelId: item.panelId,
  ...(roll ? { rollId: roll.id } : {}),
  ...(other === undefined ? {} : { itemId: other }),
});

export const noRolls = (): Finding =>
  finding(
    'roll-none',
    'stop',
    {},
    'There is no roll to nest the panels on.',
    'Add a roll of the film of this job.',
  );

export const panelTooWide = (item: PackItem, widest: Mm, rules: Lengths): Finding =>
  finding(
    'roll-panel-too-wide',
    'stop',
    at(item),
    `${item.label} is ${lengthOf(item.widthMm, rules)} × ${lengthOf(item.lengthMm, rules)}${
      item.mayTurn ? '' : ' and may not be turned'
    }; the widest roll prints ${lengthOf(widest, rules)}.`,
    item.mayTurn
      ? 'Move the seams closer together, or load a wider roll.'
      : 'Allow turning, move the seams closer together, or load a wider roll.',
  );

export const panelOverLongestPrint = (item: PackItem, sent: Mm, rules: RollRules): Finding =>
  finding(
    'roll-panel-over-longest-print',
    'stop',
    at(item),
    `${item.label} is sent ${runOf(sent, rules)} long; the printer's longest print is ${runOf(rules.longestPrintMm, rules)}.`,
    'Add a seam across the panel, or raise the longest print if the printer can take it.',
  );

export const panelTooLong = (item: PackItem, needed: Mm, most: Mm, rules: Lengths): Finding =>
  finding(
    'roll-panel-too-long',
    'stop',
    at(item),
    `${item.label} needs ${runOf(needed, rules)} of film in one piece; the fullest roll wide enough has ${runOf(most, rules)} between lead-in and tail.`,
    'Load a fuller roll, or add a seam across the panel.',
  );

export const panelNothingLeft = (item: PackItem, sideOnOneRoll: boolean): Finding =>
  finding(
    'roll-nothing-left',
    'stop',
    at(item),
    `${item.label} finds no room on the rolls beside or behind the other panels.`,
    sideOnOneRoll
      ? 'Add a roll, load a fuller one, or allow the side to go on to a second roll.'
      : 'Add a roll or load a fuller one.',
  );

export const sideNeedsTwoDirections = (item: PackItem): Finding =>
  finding(
    'roll-side-two-directions',
    'stop',
    at(item),
    `${item.label} fits the rolls only in the other print direction than the rest of its side.`,
    'Allow two print directions for the side, or cut it so that all its panels run one way.',
  );

export const lockedRollMissing = (item: PackItem): Finding =>
  finding(
    'roll-locked-roll-missing',
    'warn',
    at(item),
    `${item.label} is locked to a roll that is not on the shelf, so it was nested again.`,
    'Lock it again at its new place, or put the roll back on the list.',
  );

export const panelWithoutPlace = (item: PackItem): Finding =>
  finding(
    'roll-panel-without-place',
    'stop',
    at(item),
    `${item.label} lies on no roll.`,
    'Place it on a roll, or re-nest.',
  );

export const placeUnknown = (
  panelId: string,
  rollId: string,
  what: 'panel' | 'roll' | 'second place',
): Finding =>
  finding(
    'roll-place-unknown',
    'stop',
    { panelId, rollId },
    what === 'second place'
      ? `Panel ${panelId} has two places in the nesting.`
      : `The nesting puts panel ${panelId} on roll ${rollId}, but there is no such ${what}.`,
    'Remove the place from the nesting, or re-nest.',
  );

export const panelTurned = (item: PackItem, roll: RollStock): Finding =>
  finding(
    'roll-panel-turned',
    'stop',
    at(item, roll),
    `${item.label} is turned by 90° but may not be.`,
    'Turn it back, or allow turning for this panel.',
  );

export const panelOverMargin = (
  item: PackItem,
  roll: RollStock,
  over: Mm,
  edge: 'left' | 'right',
  rules: Lengths,
): Finding =>
  finding(
    'roll-margin',
    'stop',
    at(item, roll, edge),
    `${item.label} runs ${lengthOf(over, rules)} into the ${edge} margin of ${roll.label}.`,
    'Move it inward, or put it on a wider roll.',
  );

export const panelInLeadIn = (item: PackItem, roll: RollStock, rules: Lengths): Finding =>
  finding(
    'roll-lead-in',
    'stop',
    at(item, roll),
    `${item.label} begins in the lead-in of ${roll.label}, which is ${lengthOf(roll.leadInMm, rules)}.`,
    'Move it further along the roll.',
  );

export const panelBeyondRoll = (item: PackItem, roll: RollStock, over: Mm, rules: Lengths): Finding =>
  finding(
    'roll-length',
    'stop',
    at(item, roll),
    `${item.label} ends ${lengthOf(over, rules)} too far along ${roll.label} to leave its tail of ${lengthOf(roll.tailMm, rules)}.`,
    'Move it back, or put it on another roll.',
  );

export const panelsOverlap = (item: PackItem, other: PackItem, roll: RollStock): Finding =>
  finding(
    'roll-overlap',
    'stop',
    at(item, roll, other.panelId),
    `${item.label} lies on ${other.label} on ${roll.label}.`,
    'Move one of them clear of the other.',
  );

export const panelsTooClose = (
  item: PackItem,
  other: PackItem,
  roll: RollStock,
  apart: Mm,
  rules: RollRules,
): Finding =>
  finding(
    'roll-gap',
    'warn',
    at(item, roll, other.panelId),
    `${item.label} lies ${lengthText(apart, rules.unit)} from ${other.label}; the space for the knife is ${lengthOf(rules.gapMm, rules)}.`,
    'Move them apart, or set a smaller space.',
  );

export const panelsNotCuttable = (joined: readonly PackItem[], roll: RollStock): Finding =>
  finding(
    'roll-cut',
    'stop',
    at(lastOf(joined), roll, firstOf(joined).panelId),
    `No straight cut from edge to edge parts ${listText(joined.map(({ label }) => label))} on ${roll.label}.`,
    'Line some of them up, so that a cut goes straight between them.',
  );

export const sideOnTwoRolls = (item: PackItem, roll: RollStock, first: RollStock): Finding =>
  finding(
    'roll-side-split',
    'stop',
    at(item, roll),
    `${item.label} lies on ${roll.label}, but its side begins on ${first.label}: two rolls seldom match in color.`,
    'Put the whole side on one roll, or allow it to go on two.',
  );

export const sideOfTwoLots = (item: PackItem, roll: RollStock, first: RollStock): Finding =>
  finding(
    'roll-side-lots',
    'warn',
    at(item, roll),
    `${item.label} lies on ${roll.label}, of ${lotOf(roll)}, but its side begins on ${first.label}, of ${lotOf(first)}: lots can differ in color.`,
    'Print the whole side on rolls of one lot, or compare a print of both before you go on.',
  );

const lotOf = ({ onShelf }: RollStock): string =>
  onShelf?.lotNumber ? `lot ${onShelf.lotNumber}` : 'a lot that is not known';

export const sideInTwoDirections = (item: PackItem, roll: RollStock): Finding =>
  finding(
    'roll-side-directions',
    'stop',
    at(item, roll),
    `${item.label} prints in another direction than the rest of its side: the same ink looks different that way.`,
    'Turn it like the others, or allow two directions for the side.',
  );

export const lockedPanelMoved = (item: PackItem, roll: RollStock): Finding =>
  finding(
    'roll-locked-moved',
    'warn',
    at(item, roll),
    `${item.label} is locked but does not lie where it was locked.`,
    'Put it back, or unlock it.',
  );

export const printedOutOfOrder = (count: number): Finding =>
  finding(
    'roll-print-order',
    'note',
    {},
    `${count} ${count === 1 ? 'panel prints' : 'panels print'} out of the install order.`,
    'Sort them after cutting, or move them on the roll.',
  );
