/**
 * Commands of the bench. Keys without Ctrl work only while the canvas has the focus, so that typing never triggers one.
 */
import { MENU_KEYS } from '../../core/contract/screen-message.ts';
import { jointsChange, jointTopsSwap, seamsDistribute } from '../../core/job/edits/edits.ts';
import { regionJoints } from '../../core/job/region.ts';
import type { JointKind } from '../../core/job/schema.ts';
import type { Command } from '../commands/command.ts';
import { openSeamLook, viewPanel } from '../state/dialogs.ts';
import { editJob, isReadOnly, job } from '../state/open-job.ts';
import { route } from '../state/route.ts';
import {
  changeView,
  clearDrafts,
  clearSelection,
  isHarmless,
  isToolFor,
  placedSides,
  seamInHand,
  selection,
  shown,
  showStage,
  sideInHand,
  stage,
  type Tool,
  takeTool,
  tool,
  viewport,
  zoomBy,
  zoomToFit,
  zoomToTrueSize,
} from './bench-state.ts';
import { focusCanvas, isCanvasFocused } from './canvas-focus.ts';
import { copyFigure, distanceOnBench, endMeasuring } from './distance.ts';
import { makeDoorSection } from './door-section.ts';
import { arePointsBegun, dropLastPoint, dropPoints } from './gesture-points.ts';
import {
  cutInMiddle,
  goWay,
  isPlacedTool,
  nudge,
  removeChosen,
  stepPanel,
  stepSeam,
  takeFigure,
} from './keyboard.ts';
import { NUDGE_MM } from './snap-steps.ts';
import { takeTrace } from './trace.ts';
import { viewportPanned } from './viewport.ts';

const ZOOM_STEP = 1.25;
const PAN_STEP_PX = 80;

const isOnBench = () => route.value.screen === 'bench' && job.value !== undefined;
const isOnCanvas = () => isOnBench() && isCanvasFocused.value;
const hasSeams = () => isOnBench() && selection.value.kind === 'seams' && !isReadOnly.value;
const hasSeamsOnCanvas = () => hasSeams() && isCanvasFocused.value;

const toolCommand = (id: Tool, label: string, key: string): Command => ({
  id: `tool-${id}`,
  label,
  group: 'Tools',
  keys: [key],
  isEnabled: () => isOnCanvas() && isToolFor(id, stage.value) && (isHarmless(id) || !isReadOnly.value),
  run: () => takeTool(id),
});

const arrow = (key: string, label: string, way: 'left' | 'right' | 'up' | 'down'): Command[] => [
  {
    id: `go-${way}`,
    label,
    group: 'Seams',
    keys: [key],
    isEnabled: isOnCanvas,
    run: () => goWay(way),
  },
  {
    id: `go-${way}-far`,
    label: `${label}, ten steps`,
    group: 'Seams',
    keys: [`Shift+${key}`],
    isEnabled: isOnCanvas,
    run: () => nudge(way, true),
  },
  {
    id: `look-${way}`,
    label: `Look further ${way}`,
    group: 'View',
    keys: [`Ctrl+${key}`],
    isEnabled: isOnCanvas,
    run: () => {
      const xPx = way === 'left' ? -PAN_STEP_PX : way === 'right' ? PAN_STEP_PX : 0;
      const yPx = way === 'up' ? -PAN_STEP_PX : way === 'down' ? PAN_STEP_PX : 0;
      changeView(viewportPanned(viewport.value, { xPx, yPx }));
    },
  },
];

const JOINT_NAMES = { lap: 'overlap seams', butt: 'butt seams', gap: 'body-gap seams' } as const;

const doorInHand = () => {
  const chosen = selection.value;
  return chosen.kind === 'item' && chosen.list === 'doors'
    ? { sideId: chosen.sideId, doorId: chosen.itemId }
    : undefined;
};

const jointCommand = (kind: JointKind, key: string): Command => ({
  id: `joint-${kind}`,
  label: `Make the selected seams ${JOINT_NAMES[kind]}`,
  group: 'Seams',
  keys: [key],
  isEnabled: hasSeamsOnCanvas,
  run: () => {
    const chosen = selection.value;
    if (chosen.kind !== 'seams') return;
    editJob(`Make ${JOINT_NAMES[kind]}`, (now) => jointsChange(now, { ...chosen, change: { kind } }));
  },
});

const distributeCommand = (of: 'side' | 'film', label: string, key: string): Command => ({
  id: of === 'side' ? 'seams-distribute' : 'seams-distribute-film',
  label,
  group: 'Seams',
  keys: [key],
  isEnabled: hasSeamsOnCanvas,
  run: () => {
    const chosen = selection.value;
    const unit = job.value?.displayUnit;
    const seamId = chosen.kind === 'seams' ? chosen.seamIds[0] : undefined;
    if (chosen.kind !== 'seams' || seamId === undefined || !unit) return;
    const { sideId } = chosen;
    editJob(label, (now) => seamsDistribute(now, { sideId, seamId, of, stepMm: NUDGE_MM[unit] }));
  },
});

export const benchCommands: readonly Command[] = [
  toolCommand('select', 'Select and move', 'Q'),
  toolCommand('seam-vertical', 'Cut a panel with a vertical seam', 'V'),
  toolCommand('seam-horizontal', 'Cut a panel with a horizontal seam', 'H'),
  toolCommand('line-vertical', 'Place a vertical body line', 'B'),
  toolCommand('line-horizontal', 'Place a horizontal body line', 'Shift+B'),
  toolCommand('line-points', 'Draw a body line point by point', 'N'),
  toolCommand('no-seam-area', 'Draw a no-seam area', 'K'),
  toolCommand('ground', 'Draw difficult ground', 'R'),
  toolCommand('no-film-area', 'Draw a no-film area', 'O'),
  toolCommand('door', 'Draw a door', 'J'),
  toolCommand('guide-vertical', 'Place a vertical guide line', 'U'),
  toolCommand('guide-horizontal', 'Place a horizontal guide line', 'Shift+U'),
  toolCommand('distance', 'Measure the distance of two points', 'M'),
  toolCommand('measure', 'Measure for the scale', 'Shift+M'),
  {
    ...toolCommand('trace', 'Trace the template', 'P'),
    isEnabled: () =>
      isOnCanvas() &&
      sideInHand.value?.template !== undefined &&
      stage.value.kind !== 'page' &&
      !isReadOnly.value,
    run: takeTrace,
  },
  toolCommand('side', 'Draw a side on the page', 'D'),
  ...arrow('ArrowLeft', 'Go to the panel on the left, or move the seam left', 'left'),
  ...arrow('ArrowRight', 'Go to the panel on the right, or move the seam right', 'right'),
  ...arrow('ArrowUp', 'Go to the panel above, or move the seam up', 'up'),
  ...arrow('ArrowDown', 'Go to the panel below, or move the seam down', 'down'),
  {
    id: 'panel-next',
    label: 'Go to the next panel in install order',
    group: 'Seams',
    keys: ['.'],
    isEnabled: isOnCanvas,
    run: () => stepPanel(1),
  },
  {
    id: 'panel-previous',
    label: 'Go to the previous panel in install order',
    group: 'Seams',
    keys: [','],
    isEnabled: isOnCanvas,
    run: () => stepPanel(-1),
  },
  {
    id: 'seam-next',
    label: 'Go to the next seam',
    group: 'Seams',
    keys: ['S', ']'],
    isEnabled: isOnCanvas,
    run: () => stepSeam(1),
  },
  {
    id: 'seam-previous',
    label: 'Go to the previous seam',
    group: 'Seams',
    keys: ['Shift+S', '['],
    isEnabled: isOnCanvas,
    run: () => stepSeam(-1),
  },
  {
    id: 'seams-all',
    label: 'Select all seams of the side',
    group: 'Seams',
    keys: MENU_KEYS['seams-all'],
    isEnabled: () => isOnCanvas() && sideInHand.value !== undefined,
    run: () => stepSeam('all'),
  },
  {
    id: 'take',
    label:
      'With a seam in hand: cut the selected panel in its middle. With a line, area or door in hand: end it, or put one in the middle. Else: select a panel',
    group: 'Seams',
    keys: ['Enter'],
    isEnabled: () =>
      isOnCanvas() &&
      placedSides.value.length > 0 &&
      tool.value !== 'distance' &&
      (isPlacedTool(tool.value) ||
        selection.value.kind === 'none' ||
        (selection.value.kind === 'panel' && seamInHand() !== undefined)),
    run: takeFigure,
  },
  {
    id: 'panel-view',
    label: 'View the panel as it prints',
    group: 'View',
    keys: ['W'],
    isEnabled: () => isOnCanvas() && selection.value.kind === 'panel' && job.value?.artwork !== undefined,
    run: () => {
      const chosen = selection.value;
      if (chosen.kind === 'panel') viewPanel(chosen.panelId);
    },
  },
  {
    id: 'seam-look',
    label: 'View how the seam will look once installed',
    group: 'View',
    keys: ['W'],
    isEnabled: () => {
      const chosen = selection.value;
      return isOnCanvas() && chosen.kind === 'seams' && chosen.seamIds.length === 1;
    },
    run: openSeamLook,
  },
  {
    id: 'door-section',
    label: 'Make the door a section of its own, with upright panels',
    group: 'Seams',
    isEnabled: () => isOnCanvas() && doorInHand() !== undefined && !isReadOnly.value,
    run: () => {
      const chosen = doorInHand();
      if (chosen) makeDoorSection(chosen);
    },
  },
  ...(['vertical', 'horizontal'] as const).map(
    (seams): Command => ({
      id: `cut-${seams}`,
      label: `Cut the panel in its middle with a ${seams} seam`,
      group: 'Seams',
      isEnabled: () => isOnCanvas() && selection.value.kind === 'panel' && !isReadOnly.value,
      run: () => cutInMiddle(seams),
    }),
  ),
  {
    id: 'inspector-show',
    label: 'Type exact figures for what is selected',
    group: 'Seams',
    keys: ['Enter', 'Shift+Enter'],
    isEnabled: () => isOnCanvas() && (selection.value.kind !== 'none' || tool.value === 'distance'),
    run: () =>
      document.querySelector<HTMLElement>('.inspector input:not([type=radio], [type=checkbox])')?.focus(),
  },
  {
    id: 'chosen-remove',
    label: 'Remove the selected seams, line or area',
    group: 'Seams',
    keys: ['Delete', 'Backspace'],
    isEnabled: () => isOnCanvas() && !isReadOnly.value,
    run: () => (arePointsBegun() ? dropLastPoint() : removeChosen()),
  },
  distributeCommand('side', 'Distribute the seams evenly', 'E'),
  distributeCommand('film', 'Distribute the seams so that film is equally wide', 'Shift+E'),
  {
    id: 'tops-swap',
    label: 'Put the other part on top',
    group: 'Seams',
    keys: ['T'],
    isEnabled: hasSeamsOnCanvas,
    run: () => {
      const chosen = selection.value;
      if (chosen.kind === 'seams') editJob('Swap the top part', (now) => jointTopsSwap(now, chosen));
    },
  },
  jointCommand('lap', '1'),
  jointCommand('butt', '2'),
  jointCommand('gap', '3'),
  {
    id: 'seams-lock',
    label: 'Lock or unlock the selected seams',
    group: 'Seams',
    keys: ['L'],
    isEnabled: hasSeamsOnCanvas,
    run: () => {
      const chosen = selection.value;
      if (chosen.kind !== 'seams') return;
      editJob('Lock or unlock seams', (now) => {
        const side = now.sides.find(({ id }) => id === chosen.sideId);
        const joints = side ? regionJoints(side.layout).filter(({ id }) => chosen.seamIds.includes(id)) : [];
        const locked = !joints.every((joint) => joint.locked);
        return jointsChange(now, { ...chosen, change: { locked } });
      });
    },
  },
  {
    id: 'release',
    label: 'Put the tool down, then clear the selection',
    group: 'Tools',
    keys: ['Escape'],
    isEnabled: isOnCanvas,
    run: () => {
      clearDrafts();
      endMeasuring();
      if (arePointsBegun()) dropPoints();
      else if (tool.value !== 'select') takeTool('select');
      else clearSelection();
    },
  },
  {
    id: 'distance-copy',
    label: 'Copy the measured length',
    group: 'Tools',
    keys: ['Ctrl+C'],
    isEnabled: () => isOnCanvas() && distanceOnBench()?.isDone === true,
    run: () => copyFigure('length'),
  },
  {
    id: 'canvas-focus',
    label: 'Go to the canvas',
    group: 'View',
    keys: ['F6'],
    isWhileTyping: true,
    isEnabled: isOnBench,
    run: focusCanvas,
  },
  {
    id: 'zoom-in',
    label: 'Zoom in',
    group: 'View',
    keys: [...MENU_KEYS['zoom-in'], 'Ctrl+=', '+', '='],
    isEnabled: isOnBench,
    run: () => zoomBy(ZOOM_STEP),
  },
  {
    id: 'zoom-out',
    label: 'Zoom out',
    group: 'View',
    keys: [...MENU_KEYS['zoom-out'], '-'],
    isEnabled: isOnBench,
    run: () => zoomBy(1 / ZOOM_STEP),
  },
  {
    id: 'zoom-fit',
    label: 'View everything',
    group: 'View',
    keys: [...MENU_KEYS['zoom-fit'], '0'],
    isEnabled: isOnBench,
    run: zoomToFit,
  },
  {
    id: 'zoom-true',
    label: 'View at finished size, 1:1',
    group: 'View',
    keys: ['Ctrl+9', '9'],
    isEnabled: isOnBench,
    run: zoomToTrueSize,
  },
  {
    id: 'fit-show',
    label: 'View or hide what the roll prints',
    group: 'View',
    keys: ['G'],
    isEnabled: isOnCanvas,
    run: () => {
      shown.value = { ...shown.value, fit: !shown.value.fit };
    },
  },
  {
    id: 'side-next',
    label: 'Go to the next side',
    group: 'View',
    keys: ['PageDown'],
    isEnabled: isOnCanvas,
    run: () => stepSide(1),
  },
  {
    id: 'side-previous',
    label: 'Go to the previous side',
    group: 'View',
    keys: ['PageUp'],
    isEnabled: isOnCanvas,
    run: () => stepSide(-1),
  },
];

function stepSide(by: 1 | -1): void {
  const sides = job.value?.sides ?? [];
  const index = sides.findIndex(({ id }) => id === sideInHand.value?.id);
  const next = sides[(index + by + sides.length) % sides.length];
  if (next) showStage({ kind: 'side', sideId: next.id });
}
