import { useState } from 'preact/hooks';
import { panelSplit, panelsDaySet } from '../../../core/job/edits/edits.ts';
import { installDay } from '../../../core/job/install-days.ts';
import { hasSeveralFilms, panelPrinter } from '../../../core/job/job-films.ts';
import { rectAcross } from '../../../core/job/region.ts';
import type { Job, SeamDirection } from '../../../core/job/schema.ts';
import { edgeDescription } from '../../../core/layout/edge-description.ts';
import type { EdgeTrim, Panel } from '../../../core/layout/panel.ts';
import { panelFit } from '../../../core/layout/panel-fit.ts';
import type { SideLayout } from '../../../core/layout/side-layout.ts';
import { lengthText } from '../../../core/measure/length-text.ts';
import { filmLengthText } from '../../../core/measure/long-length.ts';
import { EDGES } from '../../../core/measure/rect.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { NumberField } from '../../parts/number-field.tsx';
import { PanelNotes } from '../../parts/panel-notes.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { viewPanel } from '../../state/dialogs.ts';
import { editJob } from '../../state/open-job.ts';
import { cutPanelAt } from '../gesture-seam.ts';
import { filmOptions, setPanelFilm } from '../panel-film-select.tsx';
import { filmLeftText, sizeText } from '../seam-words.ts';
import { InstallDayField } from './install-day-field.tsx';

interface PanelInspectorProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly panel: Panel;
}

export function PanelInspector({ job, layout, panel }: PanelInspectorProps) {
  const unit = job.displayUnit;
  const printer = panelPrinter(job, panel);
  const fit = panelFit(panel.film, printer);
  return (
    <>
      <Section title={`Panel ${panel.label}`}>
        <Facts
          rows={[
            ['Visible size', sizeText(panel.net, unit)],
            ['Printed size', sizeText(panel.printed, unit)],
            ['Size on roll', sizeText(panel.film, unit)],
            ['Across the roll', `${lengthText(fit.acrossMm, unit)}${fit.isTurned ? ', turned' : ''}`],
            ['Along the roll', filmLengthText(fit.alongMm, unit)],
            ['Fit', filmLeftText(panel, job)],
            ['Install', `${panel.order} of ${layout.panels.length}`],
          ]}
        />
        {hasSeveralFilms(job) && (
          <SelectField
            label="Printed on film"
            value={panel.filmId}
            options={filmOptions(job)}
            onChange={(filmId) => setPanelFilm(panel, filmId)}
          />
        )}
        <Button
          isDisabled={!job.artwork}
          onClick={() => viewPanel(panel.id)}
          title="With its border, marks and label (W)"
        >
          View it as it prints
        </Button>
      </Section>
      <Section title="Edges">
        <Facts
          rows={EDGES.map((edge) => {
            const at = panel.edges[edge];
            const { text } = edgeDescription(layout, panel, edge, unit);
            return [edge, `${text}${TRIM_WORDS[at.trim]}`] as const;
          })}
        />
      </Section>
      {!panel.glass && (
        <>
          <CutSection job={job} layout={layout} panel={panel} />
          <Section title="Installation">
            <InstallDayField
              label="Install day"
              day={installDay(panel)}
              onDay={(now, day) => panelsDaySet(now, { sideId: panel.sideId, panelIds: [panel.id], day })}
            />
          </Section>
        </>
      )}
      <Section title="Notes and photos">
        <PanelNotes key={panel.id} panelId={panel.id} panelLabel={panel.label} />
      </Section>
    </>
  );
}

const TRIM_WORDS: Readonly<Record<EdgeTrim, string>> = {
  tape: ', trim over cutting tape',
  gap: ', trim in the gap',
  edge: ', trim on the edge of the body',
  shop: ', trim in the shop',
  none: '',
};

const DIRECTIONS = [
  { value: 'vertical', label: 'Vertical' },
  { value: 'horizontal', label: 'Horizontal' },
] as const;

/** More parts at once are probably a typing error. */
const MOST_PARTS = 100;

function CutSection({ job, layout, panel }: PanelInspectorProps) {
  const [direction, setDirection] = useState<SeamDirection>(
    panel.net.width >= panel.net.height ? 'vertical' : 'horizontal',
  );
  const across = rectAcross(panel.net, direction);
  const { id: sideId } = layout.side;
  return (
    <Section title="Cut">
      <Choice label="Seams" value={direction} options={DIRECTIONS} onChange={(next) => setDirection(next)} />
      <LengthField
        label={
          direction === 'vertical' ? 'Cut at, from the left of the side' : 'Cut at, from the top of the side'
        }
        mm={(across.start + across.end) / 2}
        unit={job.displayUnit}
        onChange={(atMm) => cutPanelAt(sideId, panel, direction, atMm)}
        hint="Type a place and press Enter."
      />
      <NumberField
        label="Or into so many equal parts"
        value={1}
        onChange={(parts) => dividePanel(sideId, panel, direction, parts)}
      />
      <Button onClick={() => void cutPanelAt(sideId, panel, direction, (across.start + across.end) / 2)}>
        Cut in the middle
      </Button>
    </Section>
  );
}

/** Cuts a panel into equal parts, as one step of undo. */
function dividePanel(sideId: string, panel: Panel, seams: SeamDirection, parts: number): string | undefined {
  if (!Number.isInteger(parts) || parts < 2 || parts > MOST_PARTS) {
    return `Give a whole number of parts from 2 to ${MOST_PARTS}.`;
  }
  const { start, end } = rectAcross(panel.net, seams);
  return editJob('Divide a panel', (now) => {
    let divided: ReturnType<typeof panelSplit> = { ok: true, value: now };
    // From the far end: the part before each cut keeps the panel's id, so the next cut finds it.
    for (let n = parts - 1; n >= 1; n--) {
      const atMm = start + ((end - start) * n) / parts;
      if (divided.ok) divided = panelSplit(divided.value, { sideId, panelId: panel.id, seams, atMm });
    }
    return divided;
  })?.message;
}
