import { describe, expect, it } from 'vitest';
import type { Film } from '../../../core/job/schema.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { jobProduction } from '../../../core/production/job-production.ts';
import { productionFindings } from '../../../core/production/production-findings.ts';
import { ticket } from '../../../core/sheets/ticket.ts';
import { jobSample } from '../job/sample-job.ts';
import { bookmobileJob, testFonts } from '../sheets/fixture.ts';
import { words } from '../sheets/tickets.ts';
import { codesOf, findingOf, GROUND, pageInMm } from './check-support.ts';

const film = (over: Partial<Film>) => ({ job: { film: { ...jobSample().film, ...over } } });
const TINT = { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 0 0 0.1]', data: '' };
const page = (content: string) =>
  pageInMm(GROUND + content, {
    resources: '/ColorSpace << /W [/Separation /Under#20White /DeviceCMYK 30 0 R] >>',
    objects: { 30: TINT },
  });
const WHITE = '/W cs 1 scn 120 60 37 29 re f\n';

describe('white plate', () => {
  it('WHT1 film that is not white asks for a spot ink that prints as white', async () => {
    const clear = await findingOf(page(WHITE), 'white-plate-missing', film({ base: 'clear' }));
    expect(clear.severity).toBe('warn');
    expect(clear.message).toContain('is clear, and no spot ink is selected as its white plate');
    expect(clear.message).toContain('The sides use Under White.');
    const colored = await findingOf(page(''), 'white-plate-missing', film({ base: 'colored' }));
    expect(colored.message).toContain('the film tints the colors. The sides use no spot ink.');
  });

  it('WHT1 is content with one that the sides use, and names one that they do not', async () => {
    const plate = film({ base: 'clear', whitePlate: 'Under White' });
    expect(await codesOf(page(WHITE), plate)).not.toContain('white-plate-missing');
    expect((await findingOf(page(''), 'white-plate-missing', plate)).message).toContain(
      'The white plate “Under White” is not in the artwork',
    );
    // Beside the side it prints nowhere.
    const beside = '/W cs 1 scn 2 180 30 9 re f\n';
    expect(await codesOf(page(beside), plate)).toContain('white-plate-missing');
    expect(await codesOf(page(''))).not.toContain('white-plate-missing');
  });
});

describe('mirror', () => {
  const mirrored = (over: Partial<Film>) => {
    const job = bookmobileJob();
    return { ...job, film: { ...job.film, ...over } };
  };
  const codes = (over: Partial<Film>) => {
    const job = mirrored(over);
    return productionFindings({ job, layouts: jobLayout(job) }).map(({ code }) => code);
  };

  it('WHT3 behind white film warns', () => {
    expect(codes({ mirror: 'rip' })).toContain('mirror-on-white');
    expect(codes({ mirror: 'rip', base: 'clear' })).not.toContain('mirror-on-white');
    expect(codes({})).not.toContain('mirror-on-white');
  });

  it('stands on the ticket once, as an order or as a warning not to do it again', () => {
    const text = (over: Partial<Film>) => {
      const job = mirrored(over);
      const layouts = jobLayout(job);
      return words(
        ticket(job, layouts, jobProduction(job, layouts), { fonts: testFonts(), sheet: 'A3', findings: [] }),
      );
    };
    const byRip = text({ base: 'clear', mirror: 'rip', whitePlate: 'Under White' });
    expect(byRip.split('MIRROR in the RIP, once').length).toBe(2);
    expect(byRip).not.toContain('DO NOT MIRROR');
    expect(byRip).toContain('spot ink Under White prints as white');
    expect(byRip).toContain('cast, clear');
    expect(text({})).not.toContain('cast, clear');
    const inFile = text({ base: 'clear', mirror: 'file' });
    expect(inFile.split('DO NOT MIRROR in the RIP').length).toBe(2);
    expect(inFile).not.toContain('once: the files');
    expect(text({})).not.toContain('MIRROR');
  });
});
