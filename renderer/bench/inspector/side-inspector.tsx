/** Facts of one side: its name, its place on the artwork, its bleed, and its mirror image. */
import { useState } from 'preact/hooks';
import { ppiNeeded, ppiOfGuidance, viewingDistance } from '../../../core/checks/viewing-distance.ts';
import {
  type SideChange,
  sideCheckIn,
  sideDaySet,
  sideFilmSet,
  sideMirror,
  sideRemove,
  sideReorder,
  sideSet,
} from '../../../core/job/edits/edits.ts';
import { installDay, isSideStaged } from '../../../core/job/install-days.ts';
import { hasSeveralFilms, sideFilmId } from '../../../core/job/job-films.ts';
import { regionPanels } from '../../../core/job/region.ts';
import type { Job, Side } from '../../../core/job/schema.ts';
import { drawnRectOfSize, sideOutline } from '../../../core/job/side-outline.ts';
import { storedFromRect } from '../../../core/job/stored-rect.ts';
import { sideCalled, sideVehicle, vehicleName } from '../../../core/job/vehicles.ts';
import { type CheckInDimension, checkInDimensions, checkInName } from '../../../core/layout/check-in.ts';
import { sideTotals } from '../../../core/layout/side-totals.ts';
import { decimalText, lengthText } from '../../../core/measure/length-text.ts';
import { longLengthFormat } from '../../../core/measure/long-length.ts';
import { EDGES, type Rect } from '../../../core/measure/rect.ts';
import type { Mm } from '../../../core/measure/units.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { Button } from '../../parts/button.tsx';
import { Choice } from '../../parts/choice.tsx';
import { TextField } from '../../parts/field.tsx';
import { LengthField } from '../../parts/length-field.tsx';
import { Facts, Section } from '../../parts/section.tsx';
import { SelectField } from '../../parts/select-field.tsx';
import { artworkFacts, editJob, layouts } from '../../state/open-job.ts';
import { showStage } from '../bench-state.ts';
import { filmOptions } from '../panel-film-select.tsx';
import { sizeText } from '../seam-words.ts';
import { InstallDayField } from './install-day-field.tsx';
import { RectFields } from './item-inspector.tsx';
import { PhotoSection } from './photo-section.tsx';
import { SideItems } from './side-items.tsx';
import { TemplateSection } from './template-section.tsx';

interface SideInspectorProps {
  readonly job: Job;
  readonly side: Side;
}

export function SideInspector({ job, side }: SideInspectorProps) {
  const [codeProblem, setCodeProblem] = useState<string>();
  const set = (label: string, change: SideChange, gesture?: string): string | undefined =>
    editJob(label, (now) => sideSet(now, { sideId: side.id, change }), {
      isQuiet: true,
      ...(gesture && { gesture }),
    })?.message;
  return (
    <>
      <Section title={`Side ${sideCalled(job, side).code}`}>
        <VehicleField job={job} side={side} />
        <div class="pair">
          <TextField
            label="Code"
            value={side.code}
            problem={codeProblem}
            onChange={(code) => setCodeProblem(set('Change the code', { code: code.trim().toUpperCase() }))}
          />
          <TextField
            label="Name"
            value={side.name}
            onChange={(name) => void set('Name the side', { name })}
          />
        </div>
        <Choice
          label="Front of the vehicle is"
          value={side.front}
          options={[
            { value: 'left', label: 'Left' },
            { value: 'right', label: 'Right' },
            { value: 'none', label: 'Neither' },
          ]}
          onChange={(front) => void set('Say where the front is', { front })}
        />
        {hasSeveralFilms(job) && (
          <SelectField
            label="All its panels are printed on film"
            value={sideFilm(side)}
            options={[...(sideFilm(side) === '' ? MIXED : []), ...filmOptions(job)]}
            onChange={(filmId) =>
              void editJob('Print a side on a film', (now) => sideFilmSet(now, { sideId: side.id, filmId }))
            }
          />
        )}
        <InstallDayField
          label={
            isSideStaged({ layout: side.layout })
              ? 'Install day of all its panels (they differ)'
              : 'Install day'
          }
          day={installDay(side)}
          onDay={(now, day) => sideDaySet(now, { sideId: side.id, day })}
        />
        <Totals job={job} side={side} />
      </Section>
      <Section title="Bleed">
        <div class="pair">
          {EDGES.map((edge) => (
            <LengthField
              key={edge}
              label={edge.charAt(0).toUpperCase() + edge.slice(1)}
              mm={side.bleed[edge]}
              unit={job.displayUnit}
              onChange={(mm) => set('Set the bleed', { bleed: { ...side.bleed, [edge]: mm } })}
            />
          ))}
        </div>
      </Section>
      <SideItems side={side} />
      <SeenFrom job={job} side={side} set={set} />
      <OnArtwork job={job} side={side} set={set} />
      <PhotoSection job={job} side={side} />
      <TemplateSection job={job} side={side} />
      <Measured job={job} side={side} />
      <MirrorSection job={job} side={side} />
      <Section title="More">
        <TextField
          label="Notes for the installers"
          value={side.notes}
          isMultiline
          onChange={(notes) => void set('Note something on the side', { notes }, `notes ${side.id}`)}
          onPause={(notes) => void set('Note something on the side', { notes }, `notes ${side.id}`)}
        />
        <OrderButtons job={job} side={side} />
      </Section>
    </>
  );
}

/** The type of vehicle of the side, where there are several. */
function VehicleField({ job, side }: SideInspectorProps) {
  if (job.vehicles.length === 1) return null;
  return (
    <SelectField
      label="Vehicle"
      value={sideVehicle(job, side).id}
      options={job.vehicles.map((vehicle) => ({
        value: vehicle.id,
        label: `${vehicle.code}: ${vehicleName(vehicle)}`,
      }))}
      onChange={(vehicleId) =>
        void editJob('Give the side to another vehicle', (now) =>
          sideSet(now, { sideId: side.id, change: { vehicleId } }),
        )
      }
    />
  );
}

const MIXED = [{ value: '', label: 'several, panel by panel' }] as const;

/** Empty where its panels are on several. */
function sideFilm(side: Side): string {
  const [first = '', ...others] = new Set(
    regionPanels(side.layout).map(({ filmId }) => filmId ?? sideFilmId(side)),
  );
  return others.length > 0 ? '' : first;
}

/** The distance of viewers decides how fine images and letters of the side must be. */
function SeenFrom({ job, side, set }: SideFieldsProps) {
  const distance = viewingDistance(side);
  const limits = job.artworkLimits ?? DEFAULT_ARTWORK_LIMITS;
  const ppi = (value: number) => `${Math.round(value)} ppi`;
  return (
    <Section title="Seen from">
      <LengthField
        label="Viewing distance"
        mm={distance}
        unit={job.displayUnit === 'mm' ? 'm' : 'ft'}
        onChange={(viewingDistanceMm) => set('Set the viewing distance', { viewingDistanceMm })}
      />
      <Facts
        rows={[
          ['Images need', `${ppi(ppiNeeded(distance, limits))} at finished size`],
          ['The trade asks for', ppi(ppiOfGuidance(distance, limits))],
          ['Capitals from', lengthText(distance / limits.distancePerCapHeight, job.displayUnit)],
        ]}
      />
    </Section>
  );
}

function Totals({ job, side }: SideInspectorProps) {
  const layout = layouts.value.find((candidate) => candidate.side.id === side.id);
  if (!layout) return null;
  const totals = sideTotals(layout);
  const unit = job.displayUnit;
  return (
    <Facts
      rows={[
        ['Finished size', sizeText(layout.outline, unit)],
        ['Panels', String(totals.panelCount)],
        ['Covered', areaText(totals.coveredAreaMm2, unit)],
        ['Film', areaText(totals.filmAreaMm2, unit)],
        ['Seams to install', lengthText(totals.seamLengthMm, longLengthFormat(unit))],
      ]}
    />
  );
}

const MM2_PER_M2 = 1e6;
/** 1 ft = 304.8 mm by definition. */
const MM2_PER_FT2 = 304.8 ** 2;

const areaText = (mm2: number, unit: 'mm' | 'in'): string =>
  unit === 'mm' ? `${decimalText(mm2 / MM2_PER_M2, 2)} m²` : `${decimalText(mm2 / MM2_PER_FT2, 1)} ft²`;

interface SideFieldsProps extends SideInspectorProps {
  set(label: string, change: SideChange): string | undefined;
}

function OnArtwork({ job, side, set }: SideFieldsProps) {
  const { page } = side;
  const pages = (artworkFacts.value?.pages ?? []).map(({ number }) => number);
  const numbers = pages.length > 0 ? pages : page === undefined ? [] : [page];
  const options = numbers.map((number) => ({ value: String(number), label: `Page ${number}` }));
  if (!job.artwork && page === undefined) return <SizeWithoutArtwork job={job} side={side} set={set} />;
  return (
    <Section title="On the artwork, drawn size">
      <SelectField
        label="Page"
        value={page === undefined ? '' : String(page)}
        options={page === undefined ? [{ value: '', label: 'On no page yet' }, ...options] : options}
        onChange={(number) => number !== '' && void set('Set the page', { page: Number(number) })}
      />
      <RectFields
        job={job}
        rect={side.artworkRect}
        set={(artworkRect) => set('Move a side on its page', { artworkRect })}
      />
      {job.artwork && page !== undefined && (
        <Button onClick={() => showStage({ kind: 'page', page })}>Go to its page</Button>
      )}
    </Section>
  );
}

/** Entered from a tape or data sheet; items on the side keep their distances from the top left. */
function SizeWithoutArtwork({ job, side, set }: SideFieldsProps) {
  const { width, height } = sideOutline(side, job.scale);
  const resize = (size: Partial<Pick<Rect, 'width' | 'height'>>) =>
    set('Set the size of a side', {
      artworkRect: storedFromRect(drawnRectOfSize({ width, height, ...size }, job.scale)),
    });
  return (
    <Section title="Finished size">
      <LengthField label="Width" mm={width} unit={job.displayUnit} onChange={(mm) => resize({ width: mm })} />
      <LengthField
        label="Height"
        mm={height}
        unit={job.displayUnit}
        onChange={(mm) => resize({ height: mm })}
      />
      <p class="quiet">Artwork that is imported later is placed on the side by this size.</p>
    </Section>
  );
}

/** The dimensions of the check-in sheet, to enter from paper; a deviation gives a finding. */
function Measured({ job, side }: SideInspectorProps) {
  const layout = layouts.value.find((candidate) => candidate.side.id === side.id);
  if (!layout) return null;
  const note = (figure: CheckInDimension, measuredMm: Mm | null) =>
    editJob(
      measuredMm === null ? 'Clear a measure' : 'Note a measure',
      (now) =>
        sideCheckIn(now, {
          sideId: side.id,
          figure: { dimensionId: figure.id, from: figure.from },
          measuredMm,
        }),
      { isQuiet: true },
    )?.message;
  return (
    <Section title="Measured on the vehicle">
      {checkInDimensions(layout).map((dimension) => {
        const drawn = lengthText(dimension.drawnMm, job.displayUnit);
        return (
          <div key={dimension.id}>
            <LengthField
              label={checkInName(layout, dimension)}
              mm={dimension.measuredMm}
              unit={job.displayUnit}
              hint={`Drawn ${drawn}, tolerance ${lengthText(dimension.toleranceMm, job.displayUnit)}`}
              onChange={(measuredMm) => note(dimension, measuredMm)}
            />
            {dimension.measuredMm !== undefined && (
              <Button onClick={() => void note(dimension, null)}>Clear this measure</Button>
            )}
          </div>
        );
      })}
    </Section>
  );
}

function MirrorSection({ job, side }: SideInspectorProps) {
  const others = job.sides.filter(({ id }) => id !== side.id);
  const [chosen, setChosen] = useState<string>();
  const [first] = others;
  if (!first) return null;
  const toSideId = others.find(({ id }) => id === chosen)?.id ?? first.id;
  return (
    <Section title="Mirror">
      <SelectField
        label="Mirror seams, lines, areas and doors onto"
        value={toSideId}
        options={others.map(({ id, code, name }) => ({ value: id, label: `${code}  ${name}` }))}
        onChange={setChosen}
        hint="What that side has now is replaced; Undo brings it back."
      />
      <Button
        onClick={() => {
          const problem = editJob('Mirror a side', (now) =>
            sideMirror(now, { fromSideId: side.id, toSideId }),
          );
          if (!problem) showStage({ kind: 'side', sideId: toSideId });
        }}
      >
        Mirror
      </Button>
    </Section>
  );
}

function OrderButtons({ job, side }: SideInspectorProps) {
  const index = job.sides.findIndex(({ id }) => id === side.id);
  const reorder = (toIndex: number) => {
    editJob('Reorder the sides', (now) => sideReorder(now, { sideId: side.id, toIndex }));
  };
  return (
    <div class="buttons">
      <Button isDisabled={index <= 0} onClick={() => reorder(index - 1)}>
        Earlier
      </Button>
      <Button isDisabled={index >= job.sides.length - 1} onClick={() => reorder(index + 1)}>
        Later
      </Button>
      <Button
        onClick={() => {
          editJob('Remove a side', (now) => sideRemove(now, { sideId: side.id }));
        }}
      >
        Remove the side
      </Button>
    </div>
  );
}
