import { expect, it } from 'vitest';
import { describeInBrowser } from './describe-in-browser.ts';
import { sharedWindow } from './shared-window.ts';
import { axeViolations, chooseJobAct } from './workstation.ts';

describeInBrowser('the list of jobs', () => {
  const shared = sharedWindow({ bypassCSP: true, locale: 'en-US' });
  const numbers = async () => await shared.page.locator('.jobs-row td:nth-child(3)').allInnerTexts();
  const head = (name: string) => shared.page.getByRole('columnheader', { name });
  const listed = async (expected: readonly string[]) =>
    await expect.poll(numbers, { timeout: 10_000 }).toEqual(expected);

  it('is sorted by its heads, by keyboard too, and filtered by state; archived jobs stand aside', async () => {
    const { page, station } = shared;
    for (const [id, number, customer] of [
      ['a', 'AC-9', 'Elm Valley Schools'],
      ['b', 'AC-10', 'Alder County Library'],
      ['c', 'AC-2', 'birch county'],
    ] as const)
      await station.smallJobAdded({ id, number, customer });
    await page.reload();
    await listed(['AC-2', 'AC-10', 'AC-9']);
    expect(await head('Last change').getAttribute('aria-sort')).toBe('descending');
    await head('Number').getByRole('button').click();
    await listed(['AC-2', 'AC-9', 'AC-10']);
    expect(await head('Number').getAttribute('aria-sort')).toBe('ascending');
    await page.keyboard.press('Enter');
    await listed(['AC-10', 'AC-9', 'AC-2']);
    expect(await head('Number').getAttribute('aria-sort')).toBe('descending');
    await head('Customer').getByRole('button').focus();
    await page.keyboard.press('Enter');
    await listed(['AC-10', 'AC-2', 'AC-9']);

    await chooseJobAct(page, 'AC-2', 'Enter the day installed…');
    await page.getByLabel('Day on which').fill('2026-03-04');
    await page.keyboard.press('Enter');
    await page.getByRole('row', { name: 'AC-2' }).getByText('Installed 4 Mar 2026').waitFor();
    await page.getByLabel('State').selectOption('Installed');
    await listed(['AC-2']);
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel('State').selectOption('Printed');
    await page.getByText('No job matches the dates and the state that are selected.').waitFor();
    await page.getByRole('button', { name: 'View all jobs' }).click();

    await page.getByRole('link', { name: 'AC-9', exact: true }).click({ button: 'right' });
    await page.getByRole('menu', { name: 'Job AC-9' }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    for (const key of ['End', 'ArrowUp', 'Enter']) await page.keyboard.press(key);
    await page.getByText('Job AC-9 is archived.').waitFor();
    await listed(['AC-10', 'AC-2']);
    await page.getByRole('checkbox', { name: 'Archived jobs' }).check();
    await listed(['AC-9']);
    await chooseJobAct(page, 'AC-9', 'Put back into the list');
    await page.getByText('Job AC-9 is in the list again.').waitFor();
    await page.getByRole('button', { name: 'View all jobs' }).click();
    await listed(['AC-10', 'AC-2', 'AC-9']);
    await head('Last change').getByRole('button').click();
  });

  it('opens a job by Enter, closes it, and finds it among the recent ones; Enter answers the question of deleting', async () => {
    const { page, station } = shared;
    await station.smallJobAdded({ id: 'd', number: 'DC-1' });
    await page.reload();
    await page.getByRole('link', { name: 'DC-1', exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.locator('.header-job', { hasText: 'DC-1' }).waitFor();
    await page.getByRole('button', { name: 'Close', exact: true }).click();
    const recent = page.getByRole('navigation', { name: 'Recent jobs' });
    await recent.getByRole('link', { name: 'DC-1' }).waitFor();
    await page.keyboard.press('Control+Shift+O');
    const dialog = page.getByRole('dialog', { name: 'Recent jobs' });
    await dialog.getByRole('button', { name: /DC-1/ }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.keyboard.press('Enter');
    await page.locator('.header-job', { hasText: 'DC-1' }).waitFor();
    await shared.showJobs();
    await chooseJobAct(page, 'DC-1', 'Delete…');
    const remove = page.getByRole('dialog').getByRole('button', { name: 'Delete' });
    await expect.poll(() => remove.isEnabled()).toBe(true);
    await remove.press('Enter');
    await page.getByText(/^Deleted: 1 job/).waitFor();
    await expect.poll(() => recent.getByRole('link', { name: 'DC-1' }).count()).toBe(0);
  });
});
