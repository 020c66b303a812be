import { describe, expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { nextStep, nextStepText, type StateOfJob } from '../../../core/proposal/next-step.ts';
import { smallJob } from '../../support/small-job.ts';

const artwork = { fileName: 'a.pdf', sha256: '7'.repeat(64), sizeBytes: 9, box: 'trim' as const };

const textOf = (over: Partial<StateOfJob>): string | undefined => {
  const job = over.job ?? smallJob({ artwork });
  const step = nextStep({ job, layouts: jobLayout(job), blocking: [], ...over });
  return step && nextStepText(step);
};

describe('what comes next', () => {
  it('goes from artwork to print, one step after the other', () => {
    expect(textOf({ job: smallJob() })).toBe('Import the artwork');
    expect(textOf({ job: smallJob({ artwork, sides: [] }) })).toBe('Set up the sides');
    const [side] = smallJob().sides;
    const whole = smallJob({
      artwork,
      sides: [
        {
          ...side!,
          bleed: { top: 90, right: 50, bottom: 90, left: 50 },
          layout: { kind: 'panel', id: 'p1' },
        },
      ],
    });
    expect(textOf({ job: whole })).toBe('Suggest panel layouts');
    expect(textOf({ blocking: [{ severity: 'warn' }, { severity: 'stop' }] })).toBe('Resolve 1 stop');
    expect(textOf({ blocking: [{ severity: 'warn' }, { severity: 'warn' }] })).toBe('Look at 2 warnings');
    expect(textOf({})).toBe('Write the output');
    const output = (state: string) => ({ number: 4, verification: { state } });
    expect(textOf({ output: output('not-verified') })).toBe('Verify Output 4');
    expect(textOf({ output: output('failed') })).toBe('Look at the verification of Output 4');
    expect(textOf({ output: output('verified') })).toBe('Print Output 4');
  });
});
