import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { request as httpRequest } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { brotliDecompressSync, gunzipSync } from 'node:zlib';
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
let key: string;
const released: string[] = [];
const asked: { verb: string; request: unknown; context: AskContext }[] = [];
let answerWith: (context: AskContext) => Promise<unknown> = async () => ({});

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-loopback-'));
  mkdirSync(join(folder, 'screens'));
  writeFileSync(join(folder, 'screens', 'index.html'), '<!doctype html><title>screens</title>');
  writeFileSync(join(folder, 'secret.html'), 'outside');
  chosen = new ChosenFiles();
  asked.length = 0;
  released.length = 0;
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
    releaseClient: (clientId) => released.push(clientId),
    screensFolder: join(folder, 'screens'),
    uploadFolder: join(folder, 'uploads'),
    uploadLimits: { fileBytes: 1000, allBytes: 2000, filesOfTab: 3 },
  });
  key = (await enter(host.entryAddress())).body;
});
afterEach(async () => {
  await host.close();
  rmSync(folder, { recursive: true });
});

interface Reply {
  status: number;
  headers: Record<string, string | string[] | undefined>;
  body: string;
  bytes: Buffer;
}

/** A request with any header at all, unlike `fetch`, which guards Host and Origin. */
async function send(
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: string | Buffer } = {},
  at: Pick<LoopbackHost, 'origin'> = host,
): Promise<Reply> {
  return await new Promise((resolve, reject) => {
    const outgoing = httpRequest(
      at.origin + path,
      { method: options.method ?? 'GET', headers: options.headers ?? {} },
      (response) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () => {
          const bytes = Buffer.concat(chunks);
          const { statusCode: status = 0, headers } = response;
          resolve({ status, headers, bytes, body: bytes.toString() });
        });
      },
    );
    outgoing.on('error', reject);
    outgoing.end(options.body);
  });
}

const tokenOf = (address: string): string => new URL(address).hash.replace('#enter=', '');

/** What a page does first that was opened with such an address. */
const enter = (address: string, at = host): Promise<Reply> =>
  send('/enter', { method: 'POST', body: tokenOf(address) }, at);

const known = (extra: Record<string, string> = {}) => ({
  'X-Panelwright-Key': key,
  'X-Panelwright-Client': 'tab-1',
  ...extra,
});

describe('who may speak to the host', () => {
  const askInfo = (headers: Record<string, string>) =>
    send('/ask/app:info', { method: 'POST', headers, body: '{}' });

  it('is a tab that handed in the token of an address, which works once and sets no cookie', async () => {
    const address = host.entryAddress();
    expect(new URL(address).search).toBe('');
    const entered = await enter(address);
    expect(entered.status).toBe(200);
    expect(entered.headers['set-cookie']).toBeUndefined();
    expect(await askInfo(known({ 'X-Panelwright-Key': entered.body }))).toMatchObject({ status: 200 });
    expect((await enter(address)).status).toBe(401);
    expect((await enter(`${host.origin}/#enter=${'0'.repeat(64)}`)).status).toBe(401);
  });

  it('may let another tab in, with a key of its own', async () => {
    const link = await send('/new-tab', { method: 'POST', headers: known() });
    const second = await enter(link.body);
    expect(second.body).toMatch(/^[0-9a-f]{64}$/);
    expect(second.body).not.toBe(key);
    expect((await askInfo(known())).status).toBe(200);
    expect((await askInfo(known({ 'X-Panelwright-Key': second.body }))).status).toBe(200);
    expect((await send('/new-tab', { method: 'POST' })).status).toBe(401);
  });

  it('is not who has the key of another host', async () => {
    const other = await startLoopbackHost({
      handlers: {} as Handlers,
      chosen,
      releaseClient: () => undefined,
      screensFolder: join(folder, 'screens'),
      uploadFolder: join(folder, 'other-uploads'),
    });
    try {
      const { body } = await enter(other.entryAddress(), other);
      expect((await askInfo(known({ 'X-Panelwright-Key': body }))).status).toBe(401);
      expect((await enter(other.entryAddress())).status).toBe(401);
      expect((await askInfo(known())).status).toBe(200);
    } finally {
      await other.close();
    }
  });

  it('gets the screens, in which there is nothing of anybody’s, with rules of what they may load', async () => {
    const page = await send('/');
    expect(page.body).toContain('screens');
    expect(page.headers['content-security-policy']).toContain("default-src 'none'");
    expect(page.headers['set-cookie']).toBeUndefined();
  });

  it.each([
    ['no key', {}],
    ['a wrong key', { 'X-Panelwright-Key': '0'.repeat(64) }],
    ['a short key', { 'X-Panelwright-Key': '0' }],
    ['a key as a cookie', { Cookie: `panelwright-key=${'0'.repeat(64)}` }],
  ])('is refused with %s', async (_what, headers) => {
    expect((await askInfo({ 'X-Panelwright-Client': 'tab-1', ...headers })).status).toBe(401);
    expect((await send('/upload', { method: 'POST', headers, body: 'x' })).status).toBe(401);
    expect(asked).toEqual([]);
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

  it('refuses a question of a tab without a name', async () => {
    expect((await askInfo({ 'X-Panelwright-Key': key })).status).toBe(403);
  });

  it.each(['cross-site', 'same-site'])(
    'refuses what a browser says comes from elsewhere: %s',
    async (site) => {
      expect((await send('/', { headers: known({ 'Sec-Fetch-Site': site }) })).status).toBe(403);
      expect((await askInfo(known({ 'Sec-Fetch-Site': site }))).status).toBe(403);
      expect((await send('/', { headers: known({ 'Sec-Fetch-Site': 'same-origin' }) })).status).toBe(200);
    },
  );

  it('knows no WebSocket: who asks for one gets no other protocol', async () => {
    const headers = { Connection: 'Upgrade', Upgrade: 'websocket', 'Sec-WebSocket-Version': '13' };
    expect((await send('/', { headers })).status).toBe(200);
    expect((await send('/ask/app:info', { method: 'POST', headers, body: '{}' })).status).toBe(401);
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

describe('malformed addresses', () => {
  it.each(['/%', '/%E0%A4%A', '/ask/%zz', '/%00', '//other.example/', 'http://other.example/', '//'])(
    'are refused as such: %s',
    async (path) => {
      const reply = await new Promise<number>((resolve, reject) => {
        const { port } = new URL(host.origin);
        const options = { host: '127.0.0.1', port, path, method: 'POST', headers: known() };
        const outgoing = httpRequest(options, (response) => resolve(response.resume().statusCode!));
        outgoing.on('error', reject);
        outgoing.end('{}');
      });
      expect(reply).toBe(400);
    },
  );
});

describe('the screens', () => {
  const script = `export const words = ${JSON.stringify(Array.from({ length: 200 }, (_, i) => `word ${i}`))};`;
  const get = (path: string, coding = '') => send(path, { headers: { 'Accept-Encoding': coding } });

  beforeEach(() => {
    mkdirSync(join(folder, 'screens', 'assets'));
    for (const name of ['assets/main-B4x_9Zq1.js', 'assets/main.js', 'main-B4x_9Zq1.js']) {
      writeFileSync(join(folder, 'screens', name), script);
    }
  });

  it('are kept by the browser for good where the name holds a hash, and asked for again elsewhere', async () => {
    const kept = await get('/assets/main-B4x_9Zq1.js');
    expect(kept.headers['cache-control']).toBe('public, max-age=31536000, immutable');
    for (const path of ['/', '/assets/main.js', '/main-B4x_9Zq1.js', '/assets/none-B4x_9Zq1.js']) {
      expect((await get(path)).headers['cache-control']).toBe('no-store');
    }
  });

  it('come packed as the browser says that it can unpack', async () => {
    for (const [accepted, coding, unpack] of [
      ['gzip, deflate, br, zstd', 'br', brotliDecompressSync],
      ['deflate, GZIP;q=0.8', 'gzip', gunzipSync],
      ['', undefined, (bytes: Buffer) => bytes],
    ] as const) {
      for (const _ of ['first', 'again']) {
        const { headers, bytes } = await get('/assets/main-B4x_9Zq1.js', accepted);
        expect(headers['content-encoding']).toBe(coding);
        expect(headers['content-type']).toBe('text/javascript; charset=utf-8');
        expect(unpack(bytes).toString()).toBe(script);
        if (coding !== undefined) {
          expect(bytes.length).toBeLessThan(script.length / 3);
          expect(headers.vary).toBe('Accept-Encoding');
        }
      }
    }
  });
});

describe('what a tab holds', () => {
  const tell = (path: string, tab: string) =>
    send(path, { method: 'POST', headers: known({ 'X-Panelwright-Client': tab }), body: '{}' });

  it('is given up when it says that it is closed', async () => {
    await tell('/stay', 'tab-7');
    expect(released).toEqual([]);
    await tell('/leave', 'tab-7');
    expect(released).toEqual(['tab-7']);
  });

  it('is given up after its last question, where that arrives later', async () => {
    await tell('/leave', 'tab-7');
    await tell('/ask/app:info', 'tab-7');
    expect(released).toEqual(['tab-7', 'tab-7']);
    await tell('/stay', 'tab-7');
    await tell('/ask/app:info', 'tab-7');
    expect(released).toHaveLength(2);
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

  it('are refused beyond the size of one file and of all together', async () => {
    expect((await upload('x'.repeat(1001))).status).toBe(413);
    const inPieces = known({ 'Transfer-Encoding': 'chunked' });
    const reply = await send('/upload', { method: 'POST', headers: inPieces, body: 'x'.repeat(1001) });
    expect(reply.status).toBe(413);
    expect((await upload('x'.repeat(900), 'tab-1')).status).toBe(200);
    expect((await upload('x'.repeat(900), 'tab-2')).status).toBe(200);
    expect((await upload('x'.repeat(900), 'tab-3')).status).toBe(413);
    expect(readdirSync(join(folder, 'uploads'))).toHaveLength(2);
  });

  it('go with their tab', async () => {
    await upload('a', 'tab-1');
    await upload('b', 'tab-2');
    await send('/leave', { method: 'POST', headers: known() });
    await vi.waitFor(() => expect(readdirSync(join(folder, 'uploads'))).toHaveLength(1));
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
