/**
 * Actual figures of jobs beside their estimates, figures derived from them, reprints by month and reason, wraps due for
 * removal.
 */
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { figureShown } from '../../core/measure/figure-units.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { itemAt } from '../../core/measure/present.ts';
import { REPRINT_REASON_NAMES } from '../../core/output/job-actuals.ts';
import { priceText } from '../../core/production/quote.ts';
import type { Reports } from '../../core/production/reports.ts';
import { dateText } from '../../core/shop/date-text.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Field } from '../parts/field.tsx';
import { Section } from '../parts/section.tsx';
import { OwnFigures } from '../production/own-figures.tsx';
import { showDone, showProblem } from '../state/notices.ts';
import { addressFromRoute } from '../state/route.ts';
import { shopProfile } from '../state/shop.ts';

export function ReportsScreen() {
  const [reports, setReports] = useState<Reports>();
  useEffect(() => {
    void ask('reports:read', {}).then((read) =>
      read.ok ? setReports(read.value) : showProblem(read.problem),
    );
  }, []);
  return (
    <div class="jobs reports">
      <div class="jobs-head">
        <h1>Reports</h1>
        <Button onClick={saveTables} title="As CSV files, for a spreadsheet">
          Save the tables
        </Button>
      </div>
      {reports && (
        <>
          <Section title="Figures from the last jobs">
            <OwnFigures figures={reports.figures} />
          </Section>
          <Jobs reports={reports} />
          <Reprints reports={reports} />
          <Removals reports={reports} />
        </>
      )}
    </div>
  );
}

async function saveTables(): Promise<void> {
  const folder = await ask('folder:choose', { title: 'Folder for the tables' });
  if (!folder.ok) return showProblem(folder.problem);
  if (!folder.value) return;
  const saved = await ask('reports:save', { folder: folder.value.token });
  if (saved.ok) showDone(`${saved.value.fileNames.join(', ')} are in ${folder.value.name}.`);
  else showProblem(saved.problem);
}

interface PartProps {
  readonly reports: Reports;
}

interface ColumnsProps {
  readonly caption: string;
  /** Columns of figures are aligned to the right. */
  readonly columns: readonly (readonly [head: string, isNumber?: 'number'])[];
  readonly rows: readonly { readonly key: string; readonly cells: readonly ComponentChildren[] }[];
}

const Columns = ({ caption, columns, rows }: ColumnsProps) => (
  <div class="table-scroll">
    <table class="table">
      <caption class="screen-reader-only">{caption}</caption>
      <thead>
        <tr>
          {columns.map(([head, isNumber]) => (
            <th key={head} scope="col" class={isNumber}>
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ key, cells }) => (
          <tr key={key}>
            {cells.map((cell, index) => (
              <td key={itemAt(columns, index)[0]} class={itemAt(columns, index)[1]}>
                {cell}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);

const JobLink = ({ jobId, number }: { readonly jobId: string; readonly number: string }) => (
  <a href={addressFromRoute({ screen: 'history', jobId })}>{number}</a>
);

/** `9.5 of 8.2`: actual, of estimated. */
const pair = (
  {
    estimated,
    actual,
  }: { readonly estimated?: number | undefined; readonly actual?: number | undefined } = {},
  shown: (value: number) => number = (value) => value,
): string => {
  if (actual === undefined) return '';
  const of = estimated === undefined ? 'no estimate' : decimalText(shown(estimated), 1);
  return `${decimalText(shown(actual), 1)} of ${of}`;
};

function Jobs({ reports: { jobs } }: PartProps) {
  const { displayUnit: unit, dateOrder } = shopProfile.value;
  const length = (meters: number) => figureShown(meters, 'm', unit);
  return (
    <Section title="What jobs took, of their estimates">
      {jobs.length === 0 ? (
        <p class="quiet">Nothing yet. Enter what a job took in its history, after installation.</p>
      ) : (
        <Columns
          caption="What jobs took, of their estimates"
          columns={[
            ['Job'],
            ['Customer'],
            ['Entered'],
            [`Film, ${unit === 'mm' ? 'm' : 'ft'}`, 'number'],
            ['Installation, h', 'number'],
            ['In the shop, h', 'number'],
            ['Panels reprinted', 'number'],
          ]}
          rows={jobs.map((row) => ({
            key: row.jobId,
            cells: [
              <JobLink key="job" jobId={row.jobId} number={row.number} />,
              row.customer,
              dateText(row.enteredOn, dateOrder),
              pair(row.filmM, length),
              pair(row.installHours),
              pair(row.shopHours),
              row.reprints,
            ],
          }))}
        />
      )}
    </Section>
  );
}

function Reprints({ reports: { reprints } }: PartProps) {
  const { displayUnit: unit } = shopProfile.value;
  return (
    <Section title="Reprints by month and reason">
      {reprints.length === 0 ? (
        <p class="quiet">No panel was entered as reprinted yet.</p>
      ) : (
        <Columns
          caption="Reprints by month and reason"
          columns={[
            ['Month'],
            ['Reason'],
            ['Panels', 'number'],
            [unit === 'mm' ? 'Area, m²' : 'Area, ft²', 'number'],
            ['Material, about', 'number'],
            ['Of it paid by others', 'number'],
          ]}
          rows={reprints.map((row) => ({
            key: `${row.month} ${row.reason} ${row.currency}`,
            cells: [
              row.month,
              REPRINT_REASON_NAMES[row.reason],
              row.panels,
              decimalText(figureShown(row.areaM2, 'm²', unit), unit === 'mm' ? 2 : 1),
              priceText(row.cents, row.currency),
              priceText(row.paidByOthersCents, row.currency),
            ],
          }))}
        />
      )}
    </Section>
  );
}

function Removals({ reports: { removals } }: PartProps) {
  const [text, setText] = useState('');
  const { dateOrder } = shopProfile.value;
  const words = text.toLowerCase().split(/\s+/);
  const shown = removals.filter(({ number, customer, vehicle, film, lots, installedOn, dueOn = '' }) => {
    const all = [number, customer, vehicle, film, ...lots, installedOn, dueOn].join(' ').toLowerCase();
    return words.every((word) => all.includes(word));
  });
  return (
    <Section title="Wraps due for removal">
      {removals.length === 0 ? (
        <p class="quiet">No job was entered as installed yet.</p>
      ) : (
        <>
          <Field label="Search film, lot, vehicle, customer or date">
            {(ids) => (
              <input
                class="input"
                type="search"
                value={text}
                onInput={(event) => setText(event.currentTarget.value)}
                {...ids}
              />
            )}
          </Field>
          <p class="quiet" role="status">
            {shown.length} of {removals.length} {removals.length === 1 ? 'wrap' : 'wraps'}
          </p>
          <Columns
            caption="Wraps due for removal"
            columns={[
              ['Due'],
              ['Job'],
              ['Customer'],
              ['Vehicle'],
              ['Film'],
              ['Lots'],
              ['Installed'],
              ['Promised life', 'number'],
            ]}
            rows={shown.map((row) => ({
              key: row.jobId,
              cells: [
                row.dueOn === undefined ? 'no life promised' : dateText(row.dueOn, dateOrder),
                <JobLink key="job" jobId={row.jobId} number={row.number} />,
                row.customer,
                row.vehicle,
                row.film,
                row.lots.join(', '),
                dateText(row.installedOn, dateOrder),
                row.years === undefined
                  ? ''
                  : `${decimalText(row.years, 1)} ${row.years === 1 ? 'year' : 'years'}`,
              ],
            }))}
          />
        </>
      )}
    </Section>
  );
}
