import { expect, it } from 'vitest';
import { jobProgress, type OutputFacts } from '../../../core/output/job-progress.ts';

const output = (labels: string, state: 'written' | 'verified' | 'printed'): OutputFacts => ({
  panelLabels: labels.split(' '),
  isVerified: state !== 'written',
  isOffPrinter: state === 'printed',
});
const progress = (panels: string, ...outputs: OutputFacts[]) =>
  jobProgress({ panelLabels: panels.split(' '), outputs, installedOn: undefined });

it('JP1 a job is as far as the panel that is least far, of the latest output of each', () => {
  expect(progress('LH-01 LH-02')).toBe('planned');
  expect(progress('LH-01 LH-02', output('LH-01 LH-02', 'written'))).toBe('written');
  expect(progress('LH-01 LH-02', output('LH-01 LH-02', 'verified'))).toBe('verified');
  expect(progress('LH-01 LH-02', output('LH-01 LH-02', 'printed'))).toBe('printed');
  // Two outputs side by side: the second is not printed yet, in either order of writing.
  expect(progress('LH-01 RH-01', output('LH-01', 'printed'), output('RH-01', 'verified'))).toBe('verified');
  expect(progress('LH-01 RH-01', output('RH-01', 'verified'), output('LH-01', 'printed'))).toBe('verified');
  // A panel that was written again counts as it is now.
  const first = output('LH-01 LH-02', 'printed');
  expect(progress('LH-01 LH-02', first, output('LH-02', 'written'))).toBe('written');
  expect(progress('LH-01 LH-02', output('LH-01 LH-02', 'written'), output('LH-01 LH-02', 'printed'))).toBe(
    'printed',
  );
});

it('JP1 panels that the layout no longer has, and panels that were left out, hold nothing back', () => {
  expect(
    progress('LH-01 LH-02', output('LH-01 LH-02 LH-03', 'written'), output('LH-01 LH-02', 'printed')),
  ).toBe('printed');
  expect(progress('LH-01 LH-02 RF-01', output('LH-01 LH-02', 'verified'))).toBe('verified');
  // A layout without any panel that was ever written.
  expect(progress('DS-01', output('LH-01', 'written'), output('LH-01', 'printed'))).toBe('printed');
});

it('JP1 the day of installing says more than any output', () => {
  const facts = { panelLabels: ['LH-01'], outputs: [output('LH-01', 'written')] };
  expect(jobProgress({ ...facts, installedOn: '2026-03-09' })).toBe('installed');
  expect(jobProgress({ ...facts, installedOn: undefined })).toBe('written');
});
