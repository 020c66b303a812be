/** Tabs of a browser on hosts of this machine: each has its own key, and no other server receives it. */
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, expect, it } from 'vitest';
import { tasksInPlace } from '../../main/tasks/tasks-in-place.ts';
import { describeInBrowser } from './describe-in-browser.ts';
import { type FolderHost, startFolderHost } from './folder-host.ts';
import { openChromium, screensBuilt } from './workstation.ts';

describeInBrowser('tabs', () => {
  const folders: string[] = [];
  const hosts: FolderHost[] = [];

  afterEach(async () => {
    for (const { host, services } of hosts.splice(0)) {
      await host.close();
      await services.close();
    }
    for (const folder of folders.splice(0)) await rm(folder, { recursive: true, force: true });
  });

  async function startHost(): Promise<FolderHost> {
    const folder = await mkdtemp(join(tmpdir(), 'panelwright-tabs-'));
    folders.push(folder);
    const started = await startFolderHost(await screensBuilt(), folder, () => tasksInPlace);
    hosts.push(started);
    return started;
  }

  const jobsShown = (page: Page) => page.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();

  it('of two hosts do not log each other out, and a third server never receives anything', async () => {
    const [one, other] = [await startHost(), await startHost()];
    const heard: IncomingHttpHeaders[] = [];
    const third = createServer((request, response) => {
      heard.push(request.headers);
      response.writeHead(200, { 'Content-Type': 'text/html' }).end('<!doctype html>third');
    }).listen(0, '127.0.0.1');
    await once(third, 'listening');
    const context = await (await openChromium()).newContext();
    try {
      const [first, second] = [await context.newPage(), await context.newPage()];
      await first.goto(one.host.entryAddress());
      await jobsShown(first);
      await second.goto(other.host.entryAddress());
      await jobsShown(second);
      for (const page of [first, second]) {
        await page.reload();
        await jobsShown(page);
        expect(new URL(page.url()).hash).not.toContain('enter');
      }
      expect(await context.cookies()).toEqual([]);
      await first.goto(`http://127.0.0.1:${(third.address() as AddressInfo).port}/`);
      await first.getByText('third').waitFor();
      const keys = [first, second].map((page) =>
        page.evaluate<string>("sessionStorage['panelwright-key'] ?? ''"),
      );
      const secrets = [
        one.host.origin,
        other.host.origin,
        ...(await Promise.all(keys)).filter((key) => key !== ''),
      ];
      expect(secrets).toHaveLength(3);
      expect(heard.length).toBeGreaterThan(0);
      for (const headers of heard) {
        expect(Object.keys(headers).filter((name) => /^(cookie|authorization|x-)/.test(name))).toEqual([]);
        expect(secrets.filter((secret) => JSON.stringify(headers).includes(secret))).toEqual([]);
      }
      await first.goBack();
      await jobsShown(first);
    } finally {
      await context.close();
      third.close();
    }
  });

  it('let one more in by a link that works once', async () => {
    const { host } = await startHost();
    const context = await (await openChromium()).newContext();
    try {
      const first = await context.newPage();
      const address = host.entryAddress();
      await first.goto(address);
      await jobsShown(first);
      await first.getByRole('button', { name: 'New tab' }).click();
      const link = first.getByRole('link', { name: 'Open another tab' });
      const used = (await link.getAttribute('href'))!;
      const opening = context.waitForEvent('page');
      await link.click();
      await jobsShown(await opening);
      await jobsShown(first);
      for (const spent of [used, address]) {
        const late = await context.newPage();
        await late.goto(spent);
        await late.getByText('This tab is not connected to Panelwright').waitFor();
      }
    } finally {
      await context.close();
    }
  });
});
