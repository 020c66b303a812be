/** One panel on a drawn roll: it can be gripped, focused and pushed, and says where it lies and what is wrong. */
import { lengthText } from '../../core/measure/length-text.ts';
import { JobPattern } from './job-pattern.tsx';
import { type ArtworkOfPanel, PanelArtwork } from './panel-artwork.tsx';
import type { RollDesk, RollsLaid } from './roll-desk.ts';
import type { DrawnPanel } from './roll-drawing.ts';
import { handlePanelKey } from './roll-keys.ts';
import { type LabelOwner, panelLabelLines } from './roll-label.ts';
import { placementText } from './roll-placement.ts';

interface RollPanelProps {
  readonly panel: DrawnPanel;
  readonly desk: RollDesk;
  readonly laid: RollsLaid;
  readonly owner: LabelOwner | undefined;
  readonly shown: ArtworkOfPanel | undefined;
  readonly rollLabel: string;
  readonly unit: 'mm' | 'in';
  readonly isFaulty: boolean;
  onGrip(event: PointerEvent): void;
  onEscape(): void;
}

type PictureProps = Pick<RollPanelProps, 'panel' | 'desk' | 'owner' | 'shown' | 'isFaulty'>;

const LINE_EM = 1.2;

export function RollPanel(props: RollPanelProps) {
  const { panel, desk, laid, rollLabel, unit, isFaulty, onGrip, onEscape } = props;
  const { item, place } = panel;
  const isLocked = desk.lockedIds.value.has(item.panelId);
  const isChosen = desk.chosenPanelId.value === item.panelId;
  const words = [
    item.label,
    `${lengthText(item.widthMm, unit)} by ${lengthText(item.lengthMm, unit)}`,
    `on ${rollLabel}`,
    placementText(place, unit),
    ...(isLocked ? ['locked'] : []),
    ...(isFaulty ? ['something is wrong, see the findings'] : []),
  ].join(', ');
  return (
    // biome-ignore lint/a11y/useSemanticElements: a button cannot stand in a drawing.
    <g
      class={['roll-panel', isChosen && 'is-chosen', isLocked && 'is-locked', isFaulty && 'is-faulty']
        .filter(Boolean)
        .join(' ')}
      role="button"
      tabIndex={0}
      data-panel={item.panelId}
      aria-label={words}
      aria-describedby="roll-help"
      aria-pressed={isChosen}
      onFocus={() => {
        desk.chosenPanelId.value = item.panelId;
      }}
      onPointerDown={onGrip}
      onKeyDown={(event) => {
        if (event.key === 'Escape') onEscape();
        else handlePanelKey(event, panel, desk, laid);
      }}
    >
      <PanelPicture {...props} />
    </g>
  );
}

/** The panel in hand once more, over its neighbors, which may come after it in the page. */
export function PanelInHand(props: PictureProps) {
  return (
    // biome-ignore lint/a11y/noAriaHiddenOnFocusable: a group without a tab stop takes no focus.
    <g class={`roll-panel is-in-hand is-chosen${props.isFaulty ? ' is-faulty' : ''}`} aria-hidden="true">
      <PanelPicture {...props} />
    </g>
  );
}

function PanelPicture({ panel, desk, owner, shown, isFaulty }: PictureProps) {
  const { item, place, box } = panel;
  const isLocked = desk.lockedIds.value.has(item.panelId);
  const isUpright = box.height > box.width * 1.2;
  const middle = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  const lines = panelLabelLines(item.label, owner, box);
  return (
    <>
      <rect class="roll-panel-film" {...box} />
      {shown && <PanelArtwork drawn={panel} {...shown} />}
      {shown && <rect class="roll-panel-edge" {...box} />}
      {owner && <JobPattern index={owner.index} {...box} />}
      {lines.map((line, index) => (
        <text
          key={line}
          transform={`translate(${middle.x} ${middle.y})${isUpright ? ' rotate(-90)' : ''}`}
          dy={`${0.35 + LINE_EM * (index - (lines.length - 1) / 2)}em`}
          text-anchor="middle"
        >
          {isFaulty && index === 0 ? '▲ ' : ''}
          {line}
          {place.turned && index === lines.length - 1 ? ' ↻' : ''}
        </text>
      ))}
      {isLocked && (
        <path class="roll-lock" transform={`translate(${box.x + 11} ${box.y + 11})`} d={PADLOCK} />
      )}
    </>
  );
}

const PADLOCK = 'M-5 -1h10v8h-10zM-3 -1v-2.5a3 3 0 0 1 6 0v2.5';
