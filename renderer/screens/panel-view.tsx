/** One panel alone, as it prints, before anything is written: with border, marks and label; its parts shaded and named. */
import { useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import { storedFromRect } from '../../core/job/stored-rect.ts';
import { edgeDescription } from '../../core/layout/edge-description.ts';
import type { Panel } from '../../core/layout/panel.ts';
import { type PanelBand, panelBands } from '../../core/layout/panel-bands.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { sizeText } from '../bench/seam-words.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { PicturePane } from '../parts/picture-pane.tsx';
import { closePanelView, viewedPanelId, viewPanel } from '../state/dialogs.ts';
import { layouts } from '../state/open-job.ts';

export function PanelView({ job }: { readonly job: Job }) {
  const [isShaded, setShaded] = useState(true);
  const all = layouts.value.flatMap((layout) => layout.panels.map((panel) => ({ layout, panel })));
  const index = all.findIndex(({ panel }) => panel.id === viewedPanelId.value);
  const shown = all[index];
  if (!shown) return null;
  const { layout, panel } = shown;
  const { width, height } = panel.film;
  const step = (by: 1 | -1) => {
    const next = all[(index + by + all.length) % all.length];
    if (next) viewPanel(next.panel.id);
  };
  return (
    <Dialog title={`${panel.label} as it prints`} isLarge onClose={closePanelView}>
      <div class="panel-view-head">
        <p>
          Size on roll {sizeText(panel.film, job.displayUnit)}, visible {sizeText(panel.net, job.displayUnit)}
        </p>
        <label class="check">
          <input
            type="checkbox"
            checked={isShaded}
            onChange={(event) => setShaded(event.currentTarget.checked)}
          />
          Shade and name its parts
        </label>
        <Button isDisabled={all.length < 2} onClick={() => step(-1)}>
          Previous panel
        </Button>
        <Button isDisabled={all.length < 2} onClick={() => step(1)}>
          Next panel
        </Button>
        <Button onClick={closePanelView}>Close</Button>
      </div>
      {job.artwork ? (
        <PicturePane
          name={panel.id}
          label={`Panel ${panel.label}`}
          widthMm={width}
          heightMm={height}
          draw={(area, widthPx, signal) =>
            ask(
              'panel:picture',
              { job, panelId: panel.id, window: storedFromRect(area), widthPx },
              { signal },
            )
          }
          {...(isShaded && {
            over: (pxPerMm: number) => (
              <Bands bands={panelBands(panel)} pxPerMm={pxPerMm} film={panel.film} />
            ),
          })}
        />
      ) : (
        <p>Import the artwork first: there is nothing to print yet.</p>
      )}
      {isShaded && <BandNames job={job} layout={layout} panel={panel} />}
    </Dialog>
  );
}

interface BandsProps {
  readonly bands: readonly PanelBand[];
  readonly pxPerMm: number;
  readonly film: Panel['film'];
}

const BAND_NAMES: Readonly<Record<PanelBand['kind'], string>> = {
  border: 'Border',
  bleed: 'Bleed',
  overlap: 'Overlap',
  wrap: 'Wraps into the gap',
};

/** Width of a band, in pixels, at which a name fits into it. */
const NAME_PX = 15;

function Bands({ bands, pxPerMm, film }: BandsProps) {
  const [width, height] = [film.width * pxPerMm, film.height * pxPerMm];
  return (
    <svg
      class="panel-bands"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      <defs>
        <BandPattern id="band-bleed" path="M0 8L8 0" />
        <BandPattern id="band-overlap" path="M0 0L8 8M0 8L8 0" />
        <BandPattern id="band-wrap" path="M0 4H8" />
        <BandPattern id="band-border" path="M4 0V8" />
      </defs>
      {bands.map((band) => {
        const { kind, edge, rect } = band;
        const points = 'points' in band && band.points;
        const box = {
          x: rect.x * pxPerMm,
          y: rect.y * pxPerMm,
          width: rect.width * pxPerMm,
          height: rect.height * pxPerMm,
        };
        const isUpright = edge === 'left' || edge === 'right';
        const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
        const isNamed = Math.min(box.width, box.height) >= NAME_PX;
        return (
          <g key={`${kind} ${edge}`} class={`panel-band is-${kind}`}>
            {points ? (
              <polygon
                points={points.map((at) => `${at.x * pxPerMm},${at.y * pxPerMm}`).join(' ')}
                fill={`url(#band-${kind})`}
              />
            ) : (
              <rect {...box} fill={`url(#band-${kind})`} />
            )}
            {isNamed && !points && (
              <text x={x} y={y} {...(isUpright && { transform: `rotate(-90 ${x} ${y})` })}>
                {BAND_NAMES[kind]}
              </text>
            )}
          </g>
        );
      })}
    </svg>
  );
}

function BandPattern({ id, path }: { readonly id: string; readonly path: string }) {
  return (
    <pattern id={id} width={8} height={8} patternUnits="userSpaceOnUse">
      <path class="panel-band-halo" d={path} />
      <path class="panel-band-line" d={path} />
    </pattern>
  );
}

interface BandNamesProps {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly panel: Panel;
}

/** What each edge has, in words, with the sign that it is shaded by. */
function BandNames({ job, layout, panel }: BandNamesProps) {
  const unit = job.displayUnit;
  const bands = panelBands(panel);
  const border = bands.find(({ kind }) => kind === 'border');
  return (
    <ul class="panel-band-names">
      {border && (
        <li>
          <BandSign kind="border" />
          Border {lengthText(border.widthMm, unit)} all around, with marks and label; it is cut off
        </li>
      )}
      {bands
        .filter(({ kind }) => kind !== 'border')
        .map((band) => (
          <li key={`${band.kind} ${band.edge}`}>
            <BandSign kind={band.kind} />
            {BAND_NAMES[band.kind]} {lengthText(band.widthMm, unit)} at the {band.edge}
            {band.kind === 'bleed' ? '' : `: ${edgeDescription(layout, panel, band.edge, unit).text}`}
          </li>
        ))}
    </ul>
  );
}

function BandSign({ kind }: { readonly kind: PanelBand['kind'] }) {
  return (
    <svg class="panel-band-sign" width={20} height={14} aria-hidden="true">
      <rect class="panel-band-sign-ground" width={20} height={14} />
      <rect width={20} height={14} fill={`url(#band-${kind})`} />
    </svg>
  );
}
