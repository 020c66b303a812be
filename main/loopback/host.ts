/**
 * The screens and services in an ordinary browser on the same machine. The host listens on 127.0.0.1 only. Its screens
 * hold nothing of anybody's; a question needs the key of a tab (entry.ts), and the host's own Host and Origin, so that no
 * page of another site can speak to it. Bodies are bounded.
 */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { wireText, wireValue } from '../../core/contract/wire.ts';
import { answerRequest } from '../contract/answer.ts';
import type { ChosenFiles } from '../contract/chosen-files.ts';
import type { Handlers } from '../contract/handlers.ts';
import { CONTENT_SECURITY_POLICY } from '../screens/security-policy.ts';
import { Entry } from './entry.ts';
import { refuse } from './refusal.ts';
import { ScreenFiles } from './screen-files.ts';
import { Tabs } from './tabs.ts';
import { receiveUpload, type UploadLimits, Uploads } from './upload.ts';

const ADDRESS = '127.0.0.1';
/** A job of a thousand seams is well under a megabyte. */
const MAX_REQUEST_BYTES = 16 * 2 ** 20;
const HEADERS_MS = 10_000;
/** Time for an upload of the largest artwork from a slow disk. */
const REQUEST_MS = 20 * 60_000;
/** A few tabs, each with a handful of requests under way. */
const MAX_CONNECTIONS = 200;
const SWEEP_MS = 15_000;

export interface LoopbackOptions {
  readonly handlers: Handlers;
  readonly chosen: ChosenFiles;
  /** A tab has gone: its locks and chosen files go with it. */
  releaseClient(clientId: string): void;
  /** Folder of the built screens. */
  readonly screensFolder: string;
  /** Where uploaded artwork is put until it is imported. */
  readonly uploadFolder: string;
  readonly uploadLimits?: UploadLimits;
  /** 0 or absent: any free port. */
  readonly port?: number;
}

export interface LoopbackHost {
  readonly origin: string;
  /** An address that lets one tab in, once. */
  entryAddress(): string;
  close(): Promise<void>;
}

export async function startLoopbackHost(options: LoopbackOptions): Promise<LoopbackHost> {
  const entry = new Entry();
  const screens = new ScreenFiles(options.screensFolder);
  const uploads = new Uploads(options.uploadFolder, options.uploadLimits);
  const tabs = new Tabs((clientId) => {
    options.releaseClient(clientId);
    void uploads.removeOf(clientId).catch(() => undefined);
  }, Date.now);
  let origin = '';
  const server = createServer((request, response) => {
    respond(request, response, { ...options, entry, screens, uploads, tabs, origin }).catch(
      (error: unknown) => {
        if (!response.headersSent) refuse(response, 500, 'internal error');
        response.destroy(error as Error);
      },
    );
  });
  // A slow client must not keep a connection forever, and no client may take all of them.
  server.headersTimeout = HEADERS_MS;
  server.requestTimeout = REQUEST_MS;
  server.maxConnections = MAX_CONNECTIONS;
  await listen(server, options.port ?? 0);
  origin = `http://${ADDRESS}:${(server.address() as AddressInfo).port}`;
  const sweeping = setInterval(() => tabs.sweep(), SWEEP_MS).unref();
  return {
    origin,
    entryAddress: () => entryAddress(origin, entry),
    close: async () => {
      clearInterval(sweeping);
      server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}

/** The part after `#` stays in the browser: it goes into no request and no log. */
const entryAddress = (origin: string, entry: Entry): string => `${origin}/#enter=${entry.makeToken()}`;

interface HostState extends LoopbackOptions {
  readonly entry: Entry;
  readonly screens: ScreenFiles;
  readonly uploads: Uploads;
  readonly tabs: Tabs;
  readonly origin: string;
}

async function respond(request: IncomingMessage, response: ServerResponse, host: HostState): Promise<void> {
  setSecurityHeaders(response);
  if (request.headers.host !== new URL(host.origin).host) return refuse(response, 403, 'wrong host');
  if (request.headers.origin !== undefined && request.headers.origin !== host.origin) {
    return refuse(response, 403, 'wrong origin');
  }
  // Browsers say themselves where a request comes from (W3C Fetch Metadata); 'none' is an address typed in.
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none') {
    return refuse(response, 403, 'wrong site');
  }
  const path = pathAsked(request.url, host.origin);
  if (path === undefined) return refuse(response, 400, 'malformed address');
  if (request.method === 'GET') return await host.screens.serve(path, request, response);
  if (request.method !== 'POST') return refuse(response, 405, 'method not allowed');
  if (path === '/enter') return await enter(request, response, host.entry);
  if (!host.entry.isKey(String(request.headers['x-panelwright-key'] ?? ''))) {
    return refuse(response, 401, 'no key');
  }
  const clientId = String(request.headers['x-panelwright-client'] ?? '').slice(0, 100);
  if (clientId === '') return refuse(response, 403, 'no client');
  await host.tabs.run(clientId, async () => await respondToTab(path, request, response, clientId, host));
}

async function respondToTab(
  path: string,
  request: IncomingMessage,
  response: ServerResponse,
  clientId: string,
  host: HostState,
): Promise<void> {
  switch (path) {
    case '/upload':
      return await receiveUpload(request, response, host, clientId);
    case '/new-tab':
      return answerText(response, entryAddress(host.origin, host.entry));
    case '/stay':
      host.tabs.stay(clientId);
      return answerText(response, '');
    case '/leave':
      host.tabs.leave(clientId);
      return answerText(response, '');
  }
  if (!path.startsWith('/ask/')) return refuse(response, 404, 'not found');
  return await answerAsk(request, response, path.slice('/ask/'.length), clientId, host);
}

/** Undefined where the address cannot be read, or is one of another server. */
function pathAsked(address: string | undefined, origin: string): string | undefined {
  try {
    const url = new URL(address ?? '/', origin);
    const path = decodeURIComponent(url.pathname);
    return url.origin === origin && !path.includes('\0') ? path : undefined;
  } catch {
    return undefined;
  }
}

async function enter(request: IncomingMessage, response: ServerResponse, entry: Entry): Promise<void> {
  const key = entry.exchange((await readBoundedBody(request)) ?? '');
  if (key === undefined) return refuse(response, 401, 'used or unknown address');
  answerText(response, key);
}

function answerText(response: ServerResponse, text: string): void {
  response.writeHead(200, { 'Content-Type': 'text/plain; charset=utf-8' });
  response.end(text);
}

/** One line of JSON per progress report, then one with the answer. A closed connection cancels. */
async function answerAsk(
  request: IncomingMessage,
  response: ServerResponse,
  verb: string,
  clientId: string,
  host: HostState,
): Promise<void> {
  const body = await readBoundedBody(request);
  if (body === undefined) return refuse(response, 413, 'too large');
  let message: unknown;
  try {
    message = wireValue(body);
  } catch {
    return refuse(response, 400, 'not JSON');
  }
  const abort = new AbortController();
  response.on('close', () => abort.abort());
  response.writeHead(200, { 'Content-Type': 'application/x-ndjson' });
  const answer = await answerRequest(host.handlers, verb, message, {
    clientId,
    signal: abort.signal,
    report: (progress) => response.write(`${wireText({ progress })}\n`),
  });
  response.end(`${wireText({ answer })}\n`);
}

async function readBoundedBody(request: IncomingMessage): Promise<string | undefined> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.length;
    if (size > MAX_REQUEST_BYTES) return undefined;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks).toString('utf8');
}

function setSecurityHeaders(response: ServerResponse): void {
  response.setHeader('Content-Security-Policy', CONTENT_SECURITY_POLICY);
  response.setHeader('X-Content-Type-Options', 'nosniff');
  response.setHeader('Referrer-Policy', 'no-referrer');
  response.setHeader('Cross-Origin-Resource-Policy', 'same-origin');
  response.setHeader('Cross-Origin-Opener-Policy', 'same-origin');
  response.setHeader('Cache-Control', 'no-store');
}

async function listen(server: Server, port: number): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, ADDRESS, resolve);
  });
}
