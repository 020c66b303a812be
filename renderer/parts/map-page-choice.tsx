import { MapPage, type SheetSettings } from '../../core/job/schema.ts';
import { Button } from './button.tsx';

const PAGE_NAMES: Readonly<Record<MapPage, string>> = {
  crew: 'Page one',
  sides: 'Sides',
  heat: 'Heat plan',
  wall: 'Wall overview',
  cautions: 'Cautions and sizes',
};

const CARD_NAMES = {
  'many-panels': 'Cards above 12 panels',
  always: 'Cards always',
  never: 'No cards',
} as const;

interface MapPageChoiceProps {
  readonly sheets: SheetSettings | undefined;
  /** Whether there is one vehicle alone, so that nothing is to be said of several. */
  readonly isForOne?: boolean;
  onChange(label: string, change: Pick<SheetSettings, 'mapPages' | 'panelCards' | 'mapPerVehicle'>): void;
}

/** Kinds of page can be cleared to save paper, for one job or for the shop. */
export function MapPageChoice({ sheets, isForOne = false, onChange }: MapPageChoiceProps) {
  const isPerVehicle = sheets?.mapPerVehicle === true;
  const chosen = sheets?.mapPages ?? MapPage.options;
  const cards = sheets?.panelCards ?? 'many-panels';
  return (
    <div class="toolbar" role="toolbar" aria-label="Pages of the install map">
      {MapPage.options.map((page) => (
        <Button
          key={page}
          isPressed={chosen.includes(page)}
          onClick={() => {
            const mapPages = MapPage.options.filter((each) => (each === page) !== chosen.includes(each));
            onChange('Select pages of the map', { mapPages });
          }}
        >
          {PAGE_NAMES[page]}
        </Button>
      ))}
      <span class="toolbar-gap" />
      {(['many-panels', 'always', 'never'] as const).map((choice) => (
        <Button
          key={choice}
          isPressed={cards === choice}
          onClick={() => onChange('Select panel cards', { panelCards: choice })}
        >
          {CARD_NAMES[choice]}
        </Button>
      ))}
      {!isForOne && (
        <Button
          isPressed={isPerVehicle}
          onClick={() => onChange('Select how many maps', { mapPerVehicle: !isPerVehicle })}
        >
          A map for each vehicle
        </Button>
      )}
    </div>
  );
}
