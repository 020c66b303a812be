/** Plans through the services and the command line: the planner itself is tried in test/core/seams. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { layoutFindings } from '../../../core/findings/layout/findings.ts';
import { jobFromJson, jobToJson } from '../../../core/job/job-json.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import type { Services } from '../../../main/services/services.ts';
import { commandLine } from '../../support/command-line.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;
let client: ServiceClient;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-plan-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  services = await testServices(at('archive'));
  client = new ServiceClient(services);
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

const request = { sideId: 'left', layouts: 'sections' as const, otherRollWidthsMm: [] };

describe('plans for a side', () => {
  it('come with layouts that can be taken, their film, and a curve read from the artwork', async () => {
    const facts = await client.reply('artwork:import', {
      file: client.chosenFile(at('art.pdf')),
      box: 'crop',
    });
    const job = { ...smallJob(), artwork: facts.reference };
    const answer = await client.reply('layout:suggest', { job, ...request });
    if (answer.outcome.kind !== 'plans') throw new Error(answer.outcome.kind);
    expect(answer.equalVertical).toBeDefined();
    expect(answer.quiet!.vertical.busyMeters.length).toBeGreaterThan(100);
    // 310 mm drawn at scale 10 is 3,100 mm finished, drawn at 4 mm a pixel: 25.4 ÷ 4 pixels per inch.
    expect(answer.quiet!.vertical.ppi).toBeCloseTo(25.4 / 4, 1);
    for (const plan of answer.outcome.plans) {
      const planned = { ...job, sides: [{ ...job.sides[0]!, layout: plan.layout }] };
      const layouts = jobLayout(planned);
      expect(layouts[0]!.panels).toHaveLength(plan.figures.panels);
      expect(layoutFindings(planned, layouts).filter(({ severity }) => severity === 'stop')).toEqual([]);
    }
  });

  it('say which limit could give way where there is none', async () => {
    const job = smallJob();
    const narrow = {
      ...job,
      printer: { ...job.printer, rollWidthMm: 300 },
      limits: { ...job.limits, minPanelMm: 900 },
    };
    const answer = await client.reply('layout:suggest', { job: narrow, ...request });
    expect(answer.outcome.kind).toBe('infeasible');
    if (answer.outcome.kind === 'infeasible') {
      expect(answer.outcome.relaxations.map(({ limit }) => limit)).toContain('smallest-panel');
    }
  });

  it('can be called off', async () => {
    const abort = new AbortController();
    const asked = client.ask('layout:suggest', { job: smallJob(), ...request }, abort.signal);
    abort.abort();
    expect(await asked).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
  });

  it('need a side that exists', async () => {
    const asked = await client.ask('layout:suggest', { job: smallJob(), ...request, sideId: 'roof' });
    expect(asked).toMatchObject({ ok: false, problem: { code: 'side-unknown' } });
  });

  it('are listed and taken on the command line', async () => {
    writeFileSync(at('job.json'), jobToJson(smallJob()));
    const run = (...args: string[]) =>
      commandLine([
        '--archive',
        at('archive'),
        'suggest',
        at('job.json'),
        '--artwork',
        at('art.pdf'),
        ...args,
      ]);
    const unknown = await run('--side', 'XX');
    expect(unknown).toMatchObject({ code: 3, err: expect.stringMatching(/no side XX.*LH/) });
    const planned = await run('--side', 'LH', '--take', 'lowest-cost');
    expect(planned.code).toBe(0);
    expect(planned.out).toMatch(/^Estimates/);
    expect(planned.out).toContain('lowest-cost');
    expect(planned.out).toContain('equal-vertical');
    const taken = jobFromJson(readFileSync(at('job.json'), 'utf8'));
    expect(taken.ok).toBe(true);
  });
});

describe('production of a job', () => {
  it('is derived on a thread', async () => {
    const production = await client.reply('production:derive', { job: smallJob() });
    expect(production.plan.unplacedPanelIds).toEqual([]);
    expect(production.estimates.film.isEstimate).toBe(true);
  });
});
