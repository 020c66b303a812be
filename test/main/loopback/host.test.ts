import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { request as httpRequest } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { CONTRACT, type ContractVerb } from '../../../core/contract/contract.ts';
import { wireValue } from '../../../core/contract/wire.ts';
import { resultOk } from '../../../core/measure/result.ts';
import { ChosenFiles } from '../../../main/contract/chosen-files.ts';
import type { AskContext, Handlers } from '../../../main/contract/handlers.ts';
import { type LoopbackHost, startLoopbackHost } from '../../../main/loopback/host.ts';

let folder: string;
let host: LoopbackHost;
let chosen: ChosenFiles;
const asked: { verb: string; request: unknown; context: AskContext }[] = [];
let answerWith: (context: AskContext) => Promise<unknown> = async () => ({});

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-loopback-'));
  mkdirSync(join(folder, 'screens'));
  writeFileSync(join(folder, 'screens', 'index.html'), '<!doctype html><title>screens</title>');
  writeFileSync(join(folder, 'secret.html'), 'outside');
  chosen = new ChosenFiles();
  asked.length = 0;
  answerWith = async () => ({});
  const verbs = Object.keys(CONTRACT) as ContractVerb[];
  const handlers = Object.fromEntries(
    verbs.map((verb) => [
      verb,
      async (request: unknown, context: AskContext) => {
        asked.push({ verb, request, context });
        return resultOk(await answerWith(context));
      },
    ]),
  ) as unknown as Handlers;
  host = await startLoopbackHost({
    handlers,
    chosen,
    screensFolder: join(folder, 'screens'),
    uploadFolder: join(folder, 'uploads'),
  });
});
afterEach(async () => {
  await host.close();
  rmSync(folder, { recursive: true });
});

interface Reply {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  body: string;
}

/** A request with any header at all, unlike `fetch`, which guards Host and Origin. */
async function send(
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: string | Buffer } = {},
): Promise<Reply> {
  return await new Promise((resolve, reject) => {
    const outgoing = httpRequest(
      host.origin + path,
      { method: options.method ?? 'GET', headers: options.headers ?? {} },
      (response) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () =>
          resolve({
            status: response.statusCode!,
            headers: response.headers,
            body: Buffer.concat(chunks).toString(),
          }),
        );
      },
    );
    outgoing.on('error', reject);
    outgoing.end(options.body);
  });
}

const known = (extra: Record<string, string> = {}) => ({
  Cookie: `panelwright=${host.token}`,
  'X-Panelwright-Client': 'tab-1',
  ...extra,
});

describe('who may speak to the host', () => {
  it('lets in whoever opens the printed address, and keeps the token out of later addresses', async () => {
    const first = await send(`/?token=${host.token}`);
    expect(first.status).toBe(303);
    expect(first.headers.location).toBe('/');
    const cookie = String(first.headers['set-cookie']);
    expect(cookie).toContain('HttpOnly');
    expect(cookie).toContain('SameSite=Strict');
    const page = await send('/', { headers: { Cookie: cookie.split(';')[0]! } });
    expect(page.body).toContain('screens');
    expect(page.headers['content-security-policy']).toContain("default-src 'none'");
  });

  it.each([
    ['no token', '/', {}, 403],
    ['a wrong token in the address', `/?token=${'0'.repeat(64)}`, {}, 403],
    ['a wrong cookie', '/', { Cookie: `panelwright=${'0'.repeat(64)}` }, 403],
    ['a short cookie', '/', { Cookie: 'panelwright=0' }, 403],
  ])('refuses %s', async (_what, path, headers, status) => {
    expect((await send(path, { headers })).status).toBe(status);
  });

  it('refuses a foreign Host (a name that was made to point here) and a foreign Origin', async () => {
    expect((await send('/', { headers: known({ Host: 'shop.example.org' }) })).status).toBe(403);
    const fromElsewhere = known({ Origin: 'https://shop.example.org' });
    expect((await send('/ask/app:info', { method: 'POST', headers: fromElsewhere, body: '{}' })).status).toBe(
      403,
    );
    expect(
      (await send('/ask/app:info', { method: 'POST', headers: known({ Origin: 'null' }), body: '{}' }))
        .status,
    ).toBe(403);
    expect(asked).toEqual([]);
  });

  it('refuses a question without the header that a foreign form cannot set', async () => {
    const headers = { Cookie: `panelwright=${host.token}` };
    expect((await send('/ask/app:info', { method: 'POST', headers, body: '{}' })).status).toBe(403);
  });

  it.each(['cross-site', 'same-site'])(
    'refuses what a browser says comes from elsewhere: %s',
    async (site) => {
      expect((await send('/', { headers: known({ 'Sec-Fetch-Site': site }) })).status).toBe(403);
      expect((await send(`/?token=${host.token}`, { headers: { 'Sec-Fetch-Site': site } })).status).toBe(403);
      expect((await send('/', { headers: known({ 'Sec-Fetch-Site': 'same-origin' }) })).status).toBe(200);
    },
  );

  it('knows no WebSocket: who asks for one gets no other protocol', async () => {
    const headers = { Connection: 'Upgrade', Upgrade: 'websocket', 'Sec-WebSocket-Version': '13' };
    expect((await send('/', { headers })).status).toBe(403);
    expect((await send('/', { headers: known(headers) })).status).toBe(200);
  });

  it('gives many connections an answer each', async () => {
    const replies = await Promise.all(Array.from({ length: 150 }, () => send('/', { headers: known() })));
    expect(new Set(replies.map(({ status }) => status))).toEqual(new Set([200]));
  });

  it('listens on the loopback address only', () => {
    expect(new URL(host.origin).hostname).toBe('127.0.0.1');
  });
});

describe('files of the screens', () => {
  it.each([
    '/../secret.html',
    '/..%2fsecret.html',
    '/%2e%2e/secret.html',
    '/..\\secret.html',
    '/nothing.js',
    '/'.concat('a'.repeat(3000)),
  ])('are the only files served: %s is not found', async (path) => {
    expect((await send(path, { headers: known() })).status).toBe(404);
  });
});

describe('questions', () => {
  const ask = (verb: string, body: string) =>
    send(`/ask/${verb}`, { method: 'POST', headers: known({ Origin: host.origin }), body });

  it('are checked against the contract before a handler sees them', async () => {
    const answers = await Promise.all([
      ask('job:list', '{"limit": 0}'),
      ask('job:list', '{"limit": 3, "extra": 1}'),
      ask('no:verb', '{}'),
      ask('__proto__', '{}'),
      ask('constructor', '{}'),
    ]);
    for (const answer of answers) {
      expect(wireValue(answer.body)).toMatchObject({
        answer: { ok: false, problem: { code: 'bad-request' } },
      });
    }
    expect(asked).toEqual([]);
    expect((await ask('job:list', 'not json')).status).toBe(400);
  });

  it('bring progress line by line, then the answer, bytes intact', async () => {
    const bytes = Uint8Array.from({ length: 300 }, (_, i) => i % 256);
    answerWith = async ({ report }) => {
      report({ what: 'cutting', done: 1, total: 2 });
      return { png: bytes };
    };
    const lines = (await ask('job:list', '{}')).body.trim().split('\n').map(wireValue);
    expect(lines).toEqual([
      { progress: { what: 'cutting', done: 1, total: 2 } },
      { answer: { ok: true, value: { png: bytes } } },
    ]);
    expect(asked[0]).toMatchObject({ verb: 'job:list', context: { clientId: 'tab-1' } });
  });

  it('are cancelled when the asker goes away', async () => {
    let signal: AbortSignal | undefined;
    answerWith = (context) => {
      signal = context.signal;
      return new Promise(() => undefined);
    };
    const outgoing = httpRequest(`${host.origin}/ask/job:list`, { method: 'POST', headers: known() });
    outgoing.on('error', () => undefined);
    outgoing.end('{}');
    await vi.waitFor(() => expect(signal).toBeDefined());
    outgoing.destroy();
    await vi.waitFor(() => expect(signal!.aborted).toBe(true));
  });

  it('larger than any job are refused', async () => {
    const answer = await ask('job:list', ' '.repeat(17 * 2 ** 20)).catch(() => ({ status: 413 }));
    expect(answer.status).toBe(413);
    expect(asked).toEqual([]);
  });
});

describe('uploads', () => {
  it('become a chosen file of that tab alone, whatever name they claim', async () => {
    const headers = known({ 'X-File-Name': encodeURIComponent('../../etc/van <b>.pdf') });
    const reply = await send('/upload', { method: 'POST', headers, body: '%PDF-1.7' });
    const file = wireValue(reply.body) as { token: string; name: string };
    expect(file.name).toBe('../../etc/van <b>.pdf');
    const path = chosen.path(file.token, 'file', 'tab-1');
    if (!path.ok) throw new Error(path.problem.message);
    expect(path.value.startsWith(join(folder, 'uploads'))).toBe(true);
    expect(readFileSync(path.value, 'utf8')).toBe('%PDF-1.7');
    expect(chosen.path(file.token, 'file', 'tab-2').ok).toBe(false);
    expect(chosen.path(file.token, 'folder', 'tab-1').ok).toBe(false);
  });

  const upload = (body: string, tab = 'tab-1') =>
    send('/upload', { method: 'POST', headers: known({ 'X-Panelwright-Client': tab }), body });

  it('of one tab are kept three at a time', async () => {
    for (const body of ['a', 'b', 'c', 'd', 'e']) await upload(body);
    await upload('other', 'tab-2');
    const left = readdirSync(join(folder, 'uploads')).map((name) =>
      readFileSync(join(folder, 'uploads', name), 'utf8'),
    );
    expect(left.sort()).toEqual(['c', 'd', 'e', 'other']);
  });

  it('that break off leave nothing', async () => {
    const outgoing = httpRequest(`${host.origin}/upload`, {
      method: 'POST',
      headers: known({ 'Content-Length': '1000' }),
    });
    outgoing.on('error', () => undefined);
    outgoing.write('half');
    const uploads = join(folder, 'uploads');
    await vi.waitFor(() => expect(readdirSync(uploads)).toHaveLength(1));
    outgoing.destroy();
    await vi.waitFor(() => expect(readdirSync(uploads)).toEqual([]));
  });
});
