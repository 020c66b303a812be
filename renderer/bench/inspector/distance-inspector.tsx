/** A distance that is measured: its ends, which may be typed, and what lies between them. */
import type { Job } from '../../../core/job/schema.ts';
import { Button } from '../../parts/button.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { sideInHand, takeTool } from '../bench-state.ts';
import {
  copyFigure,
  type DistanceEnd,
  distanceFigures,
  distanceOnBench,
  endMeasuring,
  measureAgain,
  typeDistance,
} from '../distance.ts';

export function DistanceInspector({ job }: { readonly job: Job }) {
  const now = distanceOnBench();
  if (!now && !sideInHand.value) return <p class="hint">Click two points of a side.</p>;
  const figures = now && distanceFigures(now, job.displayUnit);
  const field = (end: DistanceEnd, axis: 'x' | 'y') => (
    <LengthField
      label={axis === 'x' ? 'From the left' : 'From the top'}
      mm={now?.[end][axis]}
      unit={job.displayUnit}
      onChange={(mm) => {
        typeDistance(end, { [axis]: mm });
        return undefined;
      }}
    />
  );
  return (
    <Section title="Distance">
      <p class="quiet">Click two points of the side, or type where they are. Hold Alt to measure freely.</p>
      {(['from', 'to'] as const).map((end) => (
        <fieldset key={end} class="pair">
          <legend>{end === 'from' ? 'First point' : 'Second point'}</legend>
          {field(end, 'x')}
          {field(end, 'y')}
        </fieldset>
      ))}
      {figures && (
        <>
          <Facts
            rows={[
              ['Length', figures.length],
              ['Across', figures.across],
              ['Up and down', figures.upAndDown],
            ]}
          />
          <div class="buttons">
            <Button onClick={() => void copyFigure('length')} title="Ctrl+C on the canvas does the same">
              Copy the length
            </Button>
            <Button onClick={() => void copyFigure('across')}>Copy across</Button>
            <Button onClick={() => void copyFigure('upAndDown')}>Copy up and down</Button>
            <Button onClick={measureAgain}>Measure again</Button>
          </div>
        </>
      )}
      <Button
        onClick={() => {
          endMeasuring();
          takeTool('select');
        }}
        title="Esc on the canvas does the same"
      >
        End measuring
      </Button>
    </Section>
  );
}
