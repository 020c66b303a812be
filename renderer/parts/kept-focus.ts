/**
 * Keeps the keyboard where it was when what has the focus goes away: a button with the line that it removes, a dialog, a
 * whole screen. The browser would give the focus to nothing, and a screen reader would begin at the top of the page.
 */
/** A skip link shows, over the header, once it has the focus: it is for those who come to it with the Tab key. */
const FOCUSABLE =
  'a[href]:not(.skip-link), button, input, select, textarea, summary, [tabindex]:not([tabindex="-1"])';
const OVER_THE_PAGE = 'dialog, [popover], [role="menu"]';

interface Place {
  readonly element: HTMLElement;
  /** The dialog or menu that it is in, and where the focus was before. */
  readonly over: Element | undefined;
  readonly opener: Place | undefined;
  /** What else could have had the focus there: those that follow first, then those before, nearest first. */
  readonly others: readonly HTMLElement[];
  readonly address: string;
  /** There gestures and keys pass the focus on by themselves. */
  readonly isOnBench: boolean;
}

let place: Place | undefined;

/** Called once. */
export function followFocus(): void {
  addEventListener('focusin', ({ target }) => {
    if (target instanceof HTMLElement) place = placeOf(target, place);
  });
  // A press beside everything leaves the focus nowhere: what goes away later is not where the keyboard is.
  addEventListener('focusout', () =>
    setTimeout(() => {
      if (isNowhere() && place && isThere(place.element)) place = undefined;
    }),
  );
  new MutationObserver(() => {
    if (place && isNowhere()) successor(place)?.focus({ preventScroll: true });
  }).observe(document.body, { childList: true, subtree: true, attributeFilter: ['disabled'] });
}

const isNowhere = (): boolean => document.activeElement === null || document.activeElement === document.body;

const isThere = (element: HTMLElement): boolean =>
  element.isConnected && !element.matches(':disabled') && element.checkVisibility();

const focusables = (within: ParentNode): HTMLElement[] => [
  ...within.querySelectorAll<HTMLElement>(FOCUSABLE),
];

function placeOf(element: HTMLElement, before: Place | undefined): Place {
  const over = element.closest(OVER_THE_PAGE) ?? undefined;
  const all = focusables(over ?? document);
  const index = all.indexOf(element);
  return {
    element,
    over,
    opener: openerOf(over, before),
    others: [...all.slice(index + 1), ...all.slice(0, Math.max(index, 0)).toReversed()],
    address: location.hash,
    isOnBench: over === undefined && element.closest('.bench') !== null,
  };
}

function openerOf(over: Element | undefined, before: Place | undefined): Place | undefined {
  if (over === undefined) return undefined;
  return before?.over === over ? before.opener : before;
}

/** Undefined where it may come yet: a button that waits for work, a screen that is on its way. */
function successor({ element, over, opener, others, address, isOnBench }: Place): HTMLElement | undefined {
  if (isOnBench && address === location.hash) return undefined;
  if (element.isConnected) return isThere(element) ? element : undefined;
  if (over && !over.isConnected) return opener && successor(opener);
  // Drawn again at another place, as a bar of the week that moved.
  const again = element.id === '' ? null : document.getElementById(element.id);
  if (again && isThere(again)) return again;
  if (over) return others.find(isThere) ?? focusables(over).find(isThere);
  return (address === location.hash && others.find(isThere)) || headingOfScreen();
}

function headingOfScreen(): HTMLElement | undefined {
  const heading = document.querySelector<HTMLElement>('h1');
  if (heading) heading.tabIndex = -1;
  return heading ?? undefined;
}
