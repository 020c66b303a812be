/** Whether a button of the pointer is held down. */
let isPressed = false;
let owed: (() => void)[] = [];

/** Receives presses before any other code of the page; called once. */
export function followPresses(): void {
  addEventListener('pointerdown', () => (isPressed = true), { capture: true });
  for (const end of ['pointerup', 'pointercancel'] as const) {
    // After the click that this end makes.
    addEventListener(end, () => setTimeout(payOwed), { capture: true });
  }
}

function payOwed(): void {
  isPressed = false;
  const all = owed;
  owed = [];
  for (const run of all) run();
}

/** Runs at once, or after a press in progress: a pressed element must not move from under the pointer. */
export function afterPress(run: () => void): void {
  if (isPressed) owed.push(run);
  else run();
}
