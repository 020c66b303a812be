// Runs in a page of the tests: page-faults.ts puts it there.
window.pageFaults = (leastTargetPx) => {
  const faults = new Set();
  const root = document.documentElement;
  if (root.scrollWidth > window.innerWidth)
    faults.add(`the page is ${root.scrollWidth - window.innerWidth} px too wide`);

  const named = (element) => {
    const text = (element.getAttribute('aria-label') ?? element.textContent ?? '')
      .trim()
      .replace(/\s+/g, ' ');
    const classes = element.getAttribute('class');
    return `${element.localName}${classes ? `.${classes.split(/\s+/).join('.')}` : ''} “${text.slice(0, 50)}”`;
  };
  const isSeen = (element) =>
    !element.closest('[inert]') &&
    element.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true }) &&
    element.getBoundingClientRect().width > 1 &&
    element.getBoundingClientRect().height > 1;
  const ownText = (element) =>
    [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent?.trim());
  /** The part of it that its scrolling surroundings let through. */
  const seenBox = (element) => {
    let { left, top, right, bottom } = element.getBoundingClientRect();
    for (let at = element.parentElement; at; at = at.parentElement) {
      const { overflowX, overflowY, position } = getComputedStyle(at);
      const box = at.getBoundingClientRect();
      if (overflowX !== 'visible') [left, right] = [Math.max(left, box.left), Math.min(right, box.right)];
      if (overflowY !== 'visible') [top, bottom] = [Math.max(top, box.top), Math.min(bottom, box.bottom)];
      if (position === 'fixed') break;
    }
    return {
      left: Math.max(left, 0),
      top: Math.max(top, 0),
      right: Math.min(right, window.innerWidth),
      bottom: Math.min(bottom, window.innerHeight),
    };
  };
  const isStuck = (element) => {
    for (let at = element; at; at = at.parentElement)
      if (getComputedStyle(at).position === 'sticky') return true;
    return false;
  };
  const dialog = document.querySelector('dialog[open]');
  const within = dialog ?? document;

  for (const element of within.querySelectorAll('*:not(svg *)')) {
    if (!ownText(element) || !isSeen(element)) continue;
    const { overflowX, overflowY, textOverflow } = getComputedStyle(element);
    const isCutAcross = /hidden|clip/.test(overflowX) && element.scrollWidth > element.clientWidth + 1;
    const isCutAlong = /hidden|clip/.test(overflowY) && element.scrollHeight > element.clientHeight + 2;
    if (
      isCutAcross &&
      !(textOverflow === 'ellipsis' && (element.closest('[title]') ?? element.closest('a, button')))
    )
      faults.add(`text is cut off: ${named(element)}`);
    if (isCutAlong) faults.add(`text is cut off below: ${named(element)}`);
    for (let at = element.parentElement; at && at !== document.body; at = at.parentElement) {
      const style = getComputedStyle(at);
      if (!/hidden|clip/.test(style.overflowX)) {
        if (/auto|scroll/.test(style.overflowX)) break;
        continue;
      }
      const [box, frame] = [element.getBoundingClientRect(), at.getBoundingClientRect()];
      if (at.closest('.bench-area, [data-canvas]')) break;
      const isShortened = style.textOverflow === 'ellipsis' && at.hasAttribute('title');
      if (isShortened) break;
      if (box.right > frame.right + 1.5 || box.left < frame.left - 1.5)
        faults.add(`text runs out of ${named(at).slice(0, 40)}: ${named(element)}`);
      break;
    }
  }

  /** Text of which something else takes the place: each of its lines, at both ends and in the middle. */
  for (const element of within.querySelectorAll('*:not(svg *)')) {
    if (!ownText(element) || !isSeen(element) || element.closest('.bench-area')) continue;
    const frame = seenBox(element);
    const range = document.createRange();
    for (const node of element.childNodes) {
      if (node.nodeType !== Node.TEXT_NODE || !node.textContent.trim()) continue;
      range.selectNodeContents(node);
      for (const { left, right, top, bottom } of [...range.getClientRects()].slice(0, 6)) {
        const y = (top + bottom) / 2;
        if (right - left < 8 || y < frame.top + 3 || y > frame.bottom - 3) continue;
        for (const x of [left + 3, (left + right) / 2, right - 3]) {
          if (x < frame.left || x > frame.right) continue;
          const at = document.elementFromPoint(x, y);
          if (
            at &&
            !element.closest('label')?.contains(at) &&
            !at.contains(element) &&
            !element.contains(at) &&
            !isStuck(at) &&
            !at.closest('.popover, [role=menu]')
          )
            faults.add(`text lies under ${named(at)}: ${named(element)}`);
        }
      }
    }
  }

  const CONTROLS =
    'button, a[href], input, select, textarea, summary, [role=tab], [role=slider], [role=separator][tabindex]';
  const controls = [...within.querySelectorAll(CONTROLS)].filter(isSeen);
  /** What takes a press for it: a label counts with its control. */
  const targets = controls.map((control) => ({ control, target: control.closest('label') ?? control }));
  for (const { control, target } of targets) {
    const seen = seenBox(control);
    const [width, height] = [seen.right - seen.left, seen.bottom - seen.top];
    if (width < 4 || height < 4) continue;
    const at = document.elementFromPoint((seen.left + seen.right) / 2, (seen.top + seen.bottom) / 2);
    const isHit =
      at &&
      (control.contains(at) ||
        at.contains(control) ||
        target.contains(at) ||
        at.closest('label')?.contains(control));
    // What scrolls may lie under what sticks: focus scrolls it clear.
    if (!isHit && !isStuck(at) && !at?.closest('.popover, [role=menu]'))
      faults.add(`is covered by ${at ? named(at) : 'nothing'}: ${named(control)}`);

    const box = target.getBoundingClientRect();
    const isInText = control.localName === 'a' && getComputedStyle(control).display === 'inline';
    if (isInText || (box.width >= leastTargetPx - 0.5 && box.height >= leastTargetPx - 0.5)) continue;
    const center = { x: (box.left + box.right) / 2, y: (box.top + box.bottom) / 2 };
    const isTooNear = targets.some(({ target: other }) => {
      if (other === target || other.contains(target) || target.contains(other)) return false;
      const { left, top, right, bottom } = other.getBoundingClientRect();
      const dx = Math.max(left - center.x, 0, center.x - right);
      const dy = Math.max(top - center.y, 0, center.y - bottom);
      return Math.hypot(dx, dy) < leastTargetPx / 2;
    });
    if (isTooNear)
      faults.add(
        `is a target of ${Math.round(box.width)} × ${Math.round(box.height)} px beside another: ${named(control)}`,
      );
  }
  return [...faults];
};
