/** Every panel with its figures; its selection and that of the canvas are the same. */
import { useEffect, useRef } from 'preact/hooks';
import type { Finding } from '../../core/findings/finding.ts';
import { hasSeveralFilms, panelPrinter } from '../../core/job/job-films.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Panel } from '../../core/layout/panel.ts';
import { panelFit } from '../../core/layout/panel-fit.ts';
import { shopTrims } from '../../core/layout/shop-trims.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { Term, TermText } from '../parts/term.tsx';
import { viewPanel } from '../state/dialogs.ts';
import { findings } from '../state/job-findings.ts';
import { layouts } from '../state/open-job.ts';
import { selection, showStage, stage } from './bench-state.ts';
import { choosePanel } from './keyboard.ts';
import { PanelFilmSelect } from './panel-film-select.tsx';
import { sizeText } from './seam-words.ts';

export function PanelTable({ job }: { readonly job: Job }) {
  const here = stage.value;
  const listed = layouts.value.filter(({ side }) => here.kind !== 'side' || side.id === here.sideId);
  if (listed.length === 0) {
    return (
      <p class="hint">
        No panels yet. Import the artwork and draw a side on its page, or begin with the vehicle; a side
        begins as one panel.
      </p>
    );
  }
  return (
    <table class="table panel-table">
      <thead>
        <tr>
          <th scope="col">
            <TermText>Panel</TermText>
          </th>
          <th scope="col" class="number">
            <Term id="install-order">Install</Term>
          </th>
          <th scope="col">
            <TermText>Side</TermText>
          </th>
          {hasSeveralFilms(job) && <th scope="col">Film</th>}
          <th scope="col" class="number">
            <TermText>Visible size</TermText>
          </th>
          <th scope="col" class="number">
            <TermText>Printed size</TermText>
          </th>
          <th scope="col" class="number">
            <TermText>Size on roll</TermText>
          </th>
          <th scope="col" class="number">
            <TermText>Across the roll</TermText>
          </th>
          <th scope="col" class="number">
            <TermText>Width left</TermText>
          </th>
          <th scope="col">
            <TermText>Trim in shop</TermText>
          </th>
          <th scope="col">
            <TermText>Findings</TermText>
          </th>
        </tr>
      </thead>
      <tbody>
        {listed.map((layout) => (
          <SideRows key={layout.side.id} layout={layout} job={job} />
        ))}
      </tbody>
    </table>
  );
}

function SideRows({ layout, job }: { readonly layout: SideLayout; readonly job: Job }) {
  const trims = shopTrims(layout);
  const chosen = selection.value;
  return (
    <>
      {layout.panels.map((panel) => (
        <PanelRow
          key={panel.id}
          panel={panel}
          layout={layout}
          job={job}
          trimmed={trims.filter(({ panelId }) => panelId === panel.id).map(({ edge }) => edge)}
          isChosen={chosen.kind === 'panel' && chosen.panelId === panel.id}
        />
      ))}
    </>
  );
}

interface PanelRowProps {
  readonly panel: Panel;
  readonly layout: SideLayout;
  readonly job: Job;
  readonly trimmed: readonly string[];
  readonly isChosen: boolean;
}

function PanelRow({ panel, layout, job, trimmed, isChosen }: PanelRowProps) {
  const row = useRef<HTMLTableRowElement>(null);
  const unit = job.displayUnit;
  const fit = panelFit(panel.film, panelPrinter(job, panel));
  useEffect(() => {
    if (isChosen) row.current?.scrollIntoView({ block: 'nearest' });
  }, [isChosen]);
  const choose = () => {
    if (stage.value.kind === 'page') showStage({ kind: 'side', sideId: panel.sideId });
    choosePanel(layout, panel);
  };
  return (
    <tr
      ref={row}
      class={isChosen ? 'is-chosen' : ''}
      onClick={choose}
      onDblClick={() => job.artwork && viewPanel(panel.id)}
    >
      <td>
        <button type="button" class="row-button" aria-pressed={isChosen} onClick={choose}>
          {panel.label}
        </button>
      </td>
      <td class="number">{panel.order}</td>
      <td>{layout.side.name}</td>
      {hasSeveralFilms(job) && (
        <td>
          <PanelFilmSelect job={job} panel={panel} />
        </td>
      )}
      <td class="number">{sizeText(panel.net, unit)}</td>
      <td class="number">{sizeText(panel.printed, unit)}</td>
      <td class="number">{sizeText(panel.film, unit)}</td>
      <td class="number">
        {lengthText(fit.acrossMm, unit)}
        {fit.isTurned ? ' (turned)' : ''}
      </td>
      <td class={fit.isTooWide || fit.isTooLong ? 'number is-stop' : 'number'}>
        {fit.isTooWide ? '▲ ' : ''}
        {lengthText(fit.widthLeftMm, unit)}
        {fit.isTooLong ? ' ▲ too long' : ''}
      </td>
      <td>{trimmed.length === 0 ? '–' : trimmed.join(', ')}</td>
      <td>
        <Flags panelId={panel.id} />
      </td>
    </tr>
  );
}

const FLAG_WORDS: Readonly<Record<Finding['severity'], string>> = {
  stop: 'stop',
  warn: 'warning',
  note: 'note',
};

function Flags({ panelId }: { readonly panelId: string }) {
  const own = findings.value.filter(({ where }) => where.panelId === panelId);
  if (own.length === 0) return <>–</>;
  const severities = (['stop', 'warn', 'note'] as const).filter((severity) =>
    own.some((finding) => finding.severity === severity),
  );
  return (
    <>
      {severities.map((severity) => {
        const count = own.filter((finding) => finding.severity === severity).length;
        return (
          <span key={severity} class={`flag ${severity}`}>
            {count} {FLAG_WORDS[severity]}
            {count > 1 ? 's' : ''}
          </span>
        );
      })}
    </>
  );
}
