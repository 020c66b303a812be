import { expect, it } from 'vitest';
import type { Job } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { type ColorStrip, colorStrip } from '../../../core/output/color-strip.ts';
import type { ManifestPanel } from '../../../core/output/manifest.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { outputRolls } from '../../../core/production/output-rolls.ts';
import { DEFAULT_PRODUCTION } from '../../../core/shop/production-settings.ts';
import { jobSample } from '../job/sample-job.ts';

const stored = ({ x, y, width, height }: ColorStrip['printed']) => ({
  ...{ xMm: x, yMm: y },
  ...{ widthMm: width, heightMm: height },
});

const writtenPanels = (job: Job): ManifestPanel[] =>
  jobLayout(job).flatMap(({ side, panels }) =>
    panels.map((panel, index) => ({
      ...{ file: `${panel.label}.pdf`, label: panel.label, panelId: panel.id, sideId: side.id },
      ...{ sideCode: side.code, installOrder: index + 1, shown: 'a'.repeat(64), scale: 10, enlargeBy: 1 },
      ...{ finishedBox: stored(panel.net), printedBox: stored(panel.printed), filmBox: stored(panel.film) },
      source: { page: 1, box: 'media', windowDrawnMm: stored(panel.printed) },
      notes: [],
    })),
  );

it('RP6 the film that is planned for a reprint counts the color strip and its space, and names panels alone', () => {
  const job = jobSample({ production: DEFAULT_PRODUCTION });
  const again = writtenPanels(job).filter(({ panelId }) => panelId === 'p1');
  const strip = colorStrip(job, jobLayout(job), new Set(['p1']))!;
  const [without] = outputRolls(job, again).rolls;
  const [withStrip] = outputRolls(job, again, { hasColorStrip: true }).rolls;
  const { plan, rules } = jobProduction(job, [
    { ...jobLayout(job)[0]!, panels: jobLayout(job)[0]!.panels.filter(({ id }) => id === 'p1') },
  ]);
  const depth = plan.placements[0]!.turned ? strip.film.width : strip.film.height;
  expect(depth).toBeGreaterThan(100);
  expect(withStrip!.lengthMm - without!.lengthMm).toBeCloseTo(depth + rules.gapMm, 6);
  expect(withStrip!.panelLabels).toEqual(without!.panelLabels);
});

it('FL6 what fill pieces cover is waste no more, in the estimate as on the roll', () => {
  const estimated = (fill: Job['production'] & object) => {
    const job = jobSample({ production: fill });
    return jobProduction(job, jobLayout(job)).estimates.waste;
  };
  const item = { id: 'plate', label: 'Door logo', kind: 'other', need: 'soon' } as const;
  const plain = estimated(DEFAULT_PRODUCTION);
  const piece = { ...item, widthMm: 130, heightMm: 170, count: 3 };
  const filled = estimated({ ...DEFAULT_PRODUCTION, fill: [piece] });
  const filmM2 = plain.inputs.find(({ name }) => name === 'Film')!.value;
  expect(plain.inputs.map(({ name }) => name)).toEqual(['Panels', 'Film']);
  expect(filled.inputs.map(({ name }) => name)).toEqual(['Panels', 'Fill pieces', 'Film']);
  expect(filled.inputs[1]!.value).toBeCloseTo(3 * 0.13 * 0.17, 9);
  expect(plain.value - filled.value).toBeCloseTo((100 * 3 * 0.13 * 0.17) / filmM2, 9);
});
