/** Figures that the shop’s own last jobs speak for, each to be taken by one press. Nothing changes by itself. */
import { type FigureUnit, figureInField, figureLabel, figureShown } from '../../core/measure/figure-units.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import {
  figureInUse,
  OWN_FIGURE_NAMES,
  type OwnFigure,
  type OwnFigureKey,
  shopWithFigure,
} from '../../core/production/own-figures.ts';
import { Button } from '../parts/button.tsx';
import { showDone } from '../state/notices.ts';
import { changeShop, shopProfile } from '../state/shop.ts';

const UNITS: Partial<Record<OwnFigureKey, FigureUnit>> = {
  printM2PerHour: 'm²',
  laminationMetersPerHour: 'm',
  installMinutesPerSquareMeter: 'per m²',
};

export function OwnFigures({ figures }: { readonly figures: readonly OwnFigure[] }) {
  if (figures.length === 0)
    return <p class="quiet">At least three jobs must say what they took before a figure is proposed.</p>;
  return (
    <div class="table-scroll">
      <table class="table">
        <caption class="screen-reader-only">Figures from the last jobs of the shop</caption>
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col" class="number">
              In use
            </th>
            <th scope="col" class="number">
              Proposed
            </th>
            <th scope="col" class="number">
              Spread
            </th>
            <th scope="col" class="number">
              Jobs
            </th>
            <th scope="col">Far off the others</th>
            <th scope="col">Take it</th>
          </tr>
        </thead>
        <tbody>
          {figures.map((figure) => (
            <FigureRow key={figure.key} figure={figure} />
          ))}
        </tbody>
      </table>
      <p class="quiet">
        The median of the jobs; the spread is 1.4826 × the median absolute deviation. Of percentages it is
        that of the actual ÷ the estimate. New jobs begin with what you take.
      </p>
    </div>
  );
}

function FigureRow({ figure }: { readonly figure: OwnFigure }) {
  const { key, proposed, spread, count, farOff } = figure;
  const { displayUnit: unit } = shopProfile.value;
  const of = UNITS[key];
  const shown = (value: number) => (of ? figureInField(value, of, unit) : value);
  const isPercent = key.endsWith('Percent');
  const spreadShown = isPercent ? spread * 100 : of ? figureShown(spread, of, unit) : spread;
  const inUse = figureInUse(shopProfile.value, key);
  const name = figureLabel(OWN_FIGURE_NAMES[key], unit);
  const take = async () => {
    if (await changeShop(shopWithFigure(shopProfile.value, figure)))
      showDone(
        `${name}: the shop counts with ${decimalText(shown(proposed), 2)} from now on, before ${decimalText(shown(inUse), 2)}.`,
      );
  };
  return (
    <tr>
      <th scope="row">{name}</th>
      <td class="number">{decimalText(shown(inUse), 2)}</td>
      <td class="number">{decimalText(shown(proposed), 2)}</td>
      <td class="number">
        {decimalText(spreadShown, 2)}
        {isPercent && ' %'}
      </td>
      <td class="number">{count}</td>
      <td>{farOff.join(', ')}</td>
      <td>
        {inUse === proposed ? (
          'in use'
        ) : (
          <Button onClick={take}>Count with {decimalText(shown(proposed), 2)}</Button>
        )}
      </td>
    </tr>
  );
}
