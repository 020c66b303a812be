/** From the printer to the first hour of installation: what has to dry and rest, and whether the promise holds. */
import { useState } from 'preact/hooks';
import type { Job } from '../../core/job/schema.ts';
import type { FilmClock } from '../../core/production/film-clock.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import { momentText } from '../../core/shop/local-time.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { Field } from '../parts/field.tsx';
import { Facts, Section } from '../parts/section.tsx';
import { ClockPicture } from './clock-picture.tsx';
import { CoverageFields } from './coverage-fields.tsx';
import { setProduction } from './production-state.ts';
import { InkField, RestFields, WorkingHoursFields } from './shop-time-fields.tsx';

interface DryingPaneProps {
  readonly job: Job;
  readonly made: FilmProduction | undefined;
  readonly settings: ProductionSettings;
}

export function DryingPane({ job, made, settings }: DryingPaneProps) {
  return (
    <>
      <Clock job={job} made={made} settings={settings} />
      <Section title="Ink and coverage">
        <InkField settings={settings} set={setProduction} />
        <CoverageFields job={job} coverage={made?.coverage} settings={settings} />
      </Section>
      <Section title="Rest and transport">
        <RestFields settings={settings} set={setProduction} />
      </Section>
      <Section title="Working hours">
        <WorkingHoursFields settings={settings} set={setProduction} />
      </Section>
    </>
  );
}

function Clock({ job, made, settings }: DryingPaneProps) {
  const timeText = (local: string): string => momentText(local, job.dateOrder);
  const clock = made?.clock;
  return (
    <Section title="Drying clock">
      <TimeField
        label="Printing begins"
        value={settings.printStart}
        onChange={(printStart) => setProduction('Set when printing begins', { printStart })}
      />
      <TimeField
        label="Installation promised for"
        value={settings.promised}
        onChange={(promised) => setProduction('Set the promise', { promised })}
      />
      {settings.laminate && (
        <TimeField
          label="Lamination planned for"
          value={settings.laminateStart}
          onChange={(laminateStart) => setProduction('Plan the lamination', { laminateStart })}
        />
      )}
      <TimeField
        label="Installation planned for"
        value={settings.installStart}
        onChange={(installStart) => setProduction('Plan the installation', { installStart })}
      />
      {clock && settings.printStart !== undefined ? (
        <>
          <Facts
            rows={[
              ['print ends ≈', timeText(clock.printEnd)],
              [`dry after ${clock.dryingHours} h`, timeText(clock.dry)],
              ...(clock.laminate === undefined ? [] : [['laminate from', timeText(clock.laminate)] as const]),
              ['trim from', timeText(clock.trim)],
              ['pack from', timeText(clock.pack)],
              ['install from', timeText(clock.install)],
            ]}
          />
          <Stages job={job} clock={clock} />
          <ClockPicture
            dateOrder={job.dateOrder}
            moments={{
              ...clock,
              printStart: made.settings.printStart ?? settings.printStart,
              promised: settings.promised,
            }}
            hours={settings.workingHours}
          />
          <p class="quiet">
            The earliest moments, worked out from estimated times; drying as common practice has it. The data
            sheets of ink and film win.
          </p>
        </>
      ) : (
        <p class="quiet">
          Say when printing begins, and the clock tells when to laminate, trim, pack, install.
        </p>
      )}
    </Section>
  );
}

/** A row for each install day, and for each vehicle of a fleet that prints set by set, as on the ticket. */
function Stages({ job, clock }: { readonly job: Job; readonly clock: FilmClock }) {
  const timeText = (local: string | undefined) =>
    local === undefined ? '' : momentText(local, job.dateOrder);
  const days = (clock.days ?? []).map((own) => ({ name: String(own.day), own }));
  const sets = (clock.sets ?? []).map((own) => ({ name: own.unitNumber, own }));
  return [
    { head: 'Day', stages: days },
    { head: 'Vehicle', stages: sets },
  ].flatMap(({ head, stages }) =>
    stages.length === 0
      ? []
      : [
          <div key={head} class="table-scroll">
            <table class="table clock-table" aria-label={`Drying clock by ${head.toLowerCase()}`}>
              <thead>
                <tr>
                  <th scope="col">{head}</th>
                  <th scope="col">Print ends ≈</th>
                  {clock.laminate !== undefined && <th scope="col">Laminate from</th>}
                  <th scope="col">Install from</th>
                </tr>
              </thead>
              <tbody>
                {stages.map(({ name, own }) => (
                  <tr key={name}>
                    <th scope="row">{name}</th>
                    <td>{timeText(own.printEnd)}</td>
                    {clock.laminate !== undefined && <td>{timeText(own.laminate)}</td>}
                    <td>{timeText(own.ready)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>,
        ],
  );
}

interface TimeFieldProps {
  readonly label: string;
  readonly value: string | undefined;
  onChange(value: string | undefined): string | undefined;
}

/** The wall clock of the shop, to the minute. */
function TimeField({ label, value, onChange }: TimeFieldProps) {
  const [problem, setProblem] = useState<string>();
  return (
    <Field label={label} problem={problem}>
      {(ids) => (
        <input
          class="input"
          type="datetime-local"
          value={value ?? ''}
          onChange={(event) => {
            const text = event.currentTarget.value;
            setProblem(onChange(text === '' ? undefined : text.slice(0, 16)));
          }}
          {...ids}
        />
      )}
    </Field>
  );
}
