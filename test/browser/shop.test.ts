import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { archivedJob, awaitSaved, axeViolations, startWorkstation, type Workstation } from './workstation.ts';

const LOGO =
  '<svg xmlns="http://www.w3.org/2000/svg" width="30" height="10"><rect width="30" height="10" fill="#c00"/></svg>';

describeInBrowser('the shop', () => {
  let station: Workstation;
  beforeEach(async () => {
    station = await startWorkstation(undefined, true);
  });
  afterEach(async () => await station.close());

  it('is set up by four questions at the first start, and a new job begins with it', async () => {
    const page = await station.window({ bypassCSP: true, locale: 'en-US' });
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel('Roll widths').fill('60 in; 54 in');
    await page.getByLabel('Longest panel that your crew installs').fill('16 ft');
    await page.getByLabel('Name of your shop').fill('Alder Sign Works');
    const logo = join(station.folder, 'logo.svg');
    await writeFile(logo, LOGO);
    await page.getByLabel('Logo', { exact: true }).setInputFiles(logo);
    await page.getByRole('img', { name: 'Logo of the shop' }).waitFor();
    await page.getByRole('button', { name: 'Save and go to the jobs' }).click();
    await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
    const { profile } = await station.services.archive.shelf.items();
    expect(profile).toMatchObject({
      name: 'Alder Sign Works',
      displayUnit: 'in',
      printers: [{ rollWidthsMm: [1524, 1371.6] }],
      limits: { longestPanelMm: expect.closeTo(16 * 304.8, 6) },
      logo: { widthPx: 480, heightPx: 160 },
    });
    expect(Buffer.from(profile!.logo!.rgbBase64, 'base64').subarray(0, 3)).toEqual(Buffer.from([204, 0, 0]));

    await page.getByRole('button', { name: 'New job' }).click();
    await page.getByLabel('Job number').waitFor();
    await page.getByLabel('Job number').press('Enter');
    await page.getByText('Enter who the job is for.').waitFor();
    await page.getByLabel('Job number').and(page.locator(':focus')).waitFor();
    await page.getByLabel('Job number').fill('N-1');
    await page.getByText('Enter a number that no other job has.').waitFor({ state: 'detached' });
    await page.getByLabel('Job', { exact: true }).fill('New');
    await page.getByLabel('Customer', { exact: true }).fill('Alder County Library');
    await page.getByRole('button', { name: 'Create' }).click();
    await page.locator('.header-job', { hasText: 'N-1' }).waitFor();
    expect(await page.getByRole('heading', { name: 'Differs from your shop' }).count()).toBe(0);
    const id = page.url().split('/').at(-1)!;
    expect(await archivedJob(station, id)).toMatchObject({
      shop: { name: 'Alder Sign Works' },
      displayUnit: 'in',
      printer: { rollWidthMm: 1524 },
      productionDefaults: { figures: { currency: 'USD' } },
    });

    // A job opens by its row too: by a double click, or by Enter on its box.
    for (const open of [
      () => page.locator('.jobs-row').getByText('Alder County Library').dblclick(),
      () => page.locator('.jobs-row').getByRole('checkbox').press('Enter'),
    ]) {
      await page.getByRole('link', { name: 'Jobs', exact: true }).click();
      await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
      await open();
      await page.locator('.header-job', { hasText: 'N-1' }).waitFor();
    }

    await page.getByLabel('Unprinted border around each panel').fill('2 in');
    await page.getByLabel('Unprinted border around each panel').press('Enter');
    await page.getByRole('button', { name: 'Border: make it the shop’s' }).click();
    await page.getByRole('heading', { name: 'Differs from your shop' }).waitFor({ state: 'detached' });
    await awaitSaved(page);
    expect((await station.services.archive.shelf.items()).profile!.output.borderMm).toBe(50.8);
  });

  it('is what the region says where the questions are skipped, and changes under Shop', async () => {
    const page = await station.window({ bypassCSP: true, locale: 'de-DE' });
    await page.getByRole('button', { name: 'Skip' }).click();
    await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
    await page.reload();
    await page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
    await page.getByRole('link', { name: 'Shop' }).click();
    await page.getByRole('heading', { name: 'Shop', exact: true }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    expect(await page.getByLabel('Roll widths').inputValue()).toBe('1524 mm; 1372 mm');
    await page.getByText('Inches', { exact: true }).click();
    await page.getByLabel('Currency').fill('USD');
    await page.getByLabel('Currency').press('Enter');
    await page.getByLabel('Packing list').selectOption('Letter');
    await page.getByRole('button', { name: 'Add a printer' }).click();
    await page.getByRole('button', { name: 'Remove Printer 2' }).waitFor();
    await page.getByLabel('Address').fill('12 Mill Rd');
    await page.getByLabel('Address').press('Tab');
    await expect
      .poll(async () => (await station.services.archive.shelf.items()).profile)
      .toMatchObject({
        displayUnit: 'in',
        dateOrder: 'day-first',
        sideNames: { vehicle: { left: { code: 'DS' } } },
        sheets: { sizes: { 'packing-list': 'Letter' } },
        production: { figures: { currency: 'USD' } },
        printers: [{ name: 'Printer 1' }, { name: 'Printer 2' }],
        address: '12 Mill Rd',
      });
  });

  it('keeps the cost card and the working hours that are typed under Shop', async () => {
    const page = await station.window({ bypassCSP: true, locale: 'en-US' });
    await page.getByRole('button', { name: 'Skip' }).click();
    await page.getByRole('link', { name: 'Shop' }).click();
    await page.getByRole('heading', { name: 'Cost card' }).waitFor();
    const enter = async (label: string, text: string) => {
      await page.getByLabel(label, { exact: true }).fill(text);
      await page.getByLabel(label, { exact: true }).press('Tab');
    };
    // 14 a m² by NIST SP 811 is 1.30064 a ft².
    expect(await page.getByLabel('Film, a ft²').inputValue()).toBe('1.30');
    await enter('Film, a ft²', '1.125');
    await enter('Labor, an hour', '52');
    await page.getByLabel('These are the shop’s own figures').check();
    await enter('Printing, ft² an hour', '200');
    await enter('Transport, h', '2');
    await enter('Monday', '8-12, 12:30-17:00');
    await enter('Tuesday', '13:00-17:00, 8:00-12:00');
    await page.getByText('Write the shifts of a day in order, without overlap').waitFor();
    await enter('Closed on', '2026-12-25');
    await expect
      .poll(async () => (await station.services.archive.shelf.items()).profile)
      .toMatchObject({
        costCard: {
          isEstimate: false,
          filmPerSquareMeter: expect.closeTo(1.125 / 0.09290304, 9),
          laminatePerSquareMeter: 9,
        },
        production: {
          transportHours: 2,
          figures: { laborPerHour: 52, printM2PerHour: expect.closeTo(200 * 0.09290304, 9), currency: 'USD' },
          workingHours: {
            week: [
              [
                { from: '08:00', to: '12:00' },
                { from: '12:30', to: '17:00' },
              ],
              [
                { from: '07:30', to: '12:00' },
                { from: '12:45', to: '16:30' },
              ],
              {},
              {},
              {},
              [],
              [],
            ],
            closed: ['2026-12-25'],
          },
        },
      });
    await page.reload();
    expect(await page.getByLabel('Film, a ft²').inputValue()).toBe('1.125');
    expect(await axeViolations(page)).toEqual([]);
  });

  it('asks for a name at the first acknowledgement, and remembers it for jobs, sheets and the next one', async () => {
    const page = await station.window({ locale: 'en-US' });
    await page.getByRole('button', { name: 'Skip' }).click();
    const acknowledged = async (id: string) => {
      const { sides, ...job } = await station.smallJobAdded({ id, number: id, preparedBy: '' });
      const [side] = sides;
      const narrow = { kind: 'lap', atMm: 1330, firstMm: 3, secondMm: 2, top: 'second' } as const;
      const layout = side!.layout.kind === 'split' ? side!.layout : undefined;
      const joints = [{ ...layout!.joints[0]!, ...narrow }];
      const changed = { ...job, sides: [{ ...side!, layout: { ...layout!, joints } }] };
      const context = { clientId: 'setup', signal: new AbortController().signal, report: () => undefined };
      const saved = await station.services.handlers['job:save']({ job: changed, baseRevision: 1 }, context);
      expect(saved.ok).toBe(true);
      station.services.releaseClient('setup');
      await page.goto(`${page.url().split('#')[0]}#/output/${id}`);
      return page.getByLabel('Your name, for the ticket');
    };
    const name = await acknowledged('first');
    await page.getByText('The name becomes “Prepared by” of this job and of new ones.').waitFor();
    await name.fill('J. Reyes');
    await name.press('Enter');
    await page.getByText('By J. Reyes.').waitFor();
    await awaitSaved(page);
    expect(await archivedJob(station, 'first')).toMatchObject({
      preparedBy: 'J. Reyes',
      acknowledgements: [{ by: 'J. Reyes', note: '' }],
    });
    expect((await station.services.archive.shelf.items()).profile?.preparedBy).toBe('J. Reyes');
    await (await acknowledged('second')).waitFor();
    await expect.poll(() => page.getByLabel('Your name, for the ticket').inputValue()).toBe('J. Reyes');
    expect(await page.getByText('becomes “Prepared by”').count()).toBe(0);
  });

  it('asks once at the output for what title blocks say, for this job and new ones', async () => {
    const page = await station.window({ bypassCSP: true, locale: 'en-US' });
    await page.getByRole('button', { name: 'Skip' }).click();
    const job = await station.smallJobAdded({ preparedBy: '' });
    const other = await station.smallJobAdded({ id: 'second', number: 'SJ-9', preparedBy: '' });
    await page.goto(`${page.url().split('#')[0]}#/output/${job.id}`);
    const question = page.getByRole('form', { name: 'For the title block of the sheets' });
    await question.getByLabel('Name of your shop').fill('Alder Sign Works');
    await question.getByLabel('Prepared by').fill('J. Reyes');
    expect(await axeViolations(page)).toEqual([]);
    await question.getByLabel('Prepared by').press('Enter');
    await question.waitFor({ state: 'detached' });
    await awaitSaved(page);
    expect(await archivedJob(station, job.id)).toMatchObject({
      shop: { name: 'Alder Sign Works' },
      preparedBy: 'J. Reyes',
    });
    expect((await station.services.archive.shelf.items()).profile).toMatchObject({
      name: 'Alder Sign Works',
      preparedBy: 'J. Reyes',
      phone: '',
    });
    await page.goto(`${page.url().split('#')[0]}#/output/${other.id}`);
    await page.locator('.header-job', { hasText: 'SJ-9' }).waitFor();
    await page.getByRole('heading', { name: 'Output', exact: true }).waitFor();
    expect(await question.count()).toBe(0);
  });
});
