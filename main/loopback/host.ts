/**
 * The screens and services in an ordinary browser on the same machine. The host listens on 127.0.0.1
 * only, and takes a request only with this start's random token and the host's own Host and Origin, so that no
 * page of another site can speak to it. Bodies are bounded.
 */
import { randomBytes, timingSafeEqual } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize, sep } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { wireText, wireValue } from '../../core/contract/wire.ts';
import { answerRequest } from '../contract/answer.ts';
import type { ChosenFiles } from '../contract/chosen-files.ts';
import type { Handlers } from '../contract/handlers.ts';
import { MEDIA_TYPES } from '../screens/media-types.ts';
import { CONTENT_SECURITY_POLICY } from '../screens/security-policy.ts';
import { refuse } from './refusal.ts';
import { receiveUpload, type Uploads } from './upload.ts';

const ADDRESS = '127.0.0.1';
const COOKIE = 'panelwright';
const TOKEN_BYTES = 32;
/** A job of a thousand seams is well under a megabyte. */
const MAX_REQUEST_BYTES = 16 * 2 ** 20;
const HEADERS_MS = 10_000;
/** Time for an upload of the largest artwork from a slow disk. */
const REQUEST_MS = 20 * 60_000;
/** A few tabs, each with a handful of requests under way. */
const MAX_CONNECTIONS = 200;

export interface LoopbackOptions {
  readonly handlers: Handlers;
  readonly chosen: ChosenFiles;
  /** Folder of the built screens. */
  readonly screensFolder: string;
  /** Where uploaded artwork is put until it is imported. */
  readonly uploadFolder: string;
  /** 0 or absent: any free port. */
  readonly port?: number;
}

export interface LoopbackHost {
  /** Address to open, token included; it works once the browser has kept the cookie. */
  readonly url: string;
  readonly origin: string;
  readonly token: string;
  close(): Promise<void>;
}

export async function startLoopbackHost(options: LoopbackOptions): Promise<LoopbackHost> {
  const token = randomBytes(TOKEN_BYTES).toString('hex');
  const uploads: Uploads = new Map();
  let origin = '';
  const server = createServer((request, response) => {
    respond(request, response, { ...options, uploads, token, origin }).catch((error: unknown) => {
      if (!response.headersSent) refuse(response, 500, 'internal error');
      response.destroy(error as Error);
    });
  });
  // Whoever dawdles, on purpose or not, must not keep a connection for ever; nor may anyone take all of them.
  server.headersTimeout = HEADERS_MS;
  server.requestTimeout = REQUEST_MS;
  server.maxConnections = MAX_CONNECTIONS;
  await listen(server, options.port ?? 0);
  origin = `http://${ADDRESS}:${(server.address() as AddressInfo).port}`;
  return {
    url: `${origin}/?token=${token}`,
    origin,
    token,
    close: async () => {
      server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}

interface HostState extends LoopbackOptions {
  readonly uploads: Uploads;
  readonly token: string;
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
  const url = new URL(request.url ?? '/', host.origin);
  const offered = url.searchParams.get('token');
  if (request.method === 'GET' && offered !== null) {
    if (!isSameSecret(offered, host.token)) return refuse(response, 403, 'wrong token');
    response.setHeader('Set-Cookie', `${COOKIE}=${host.token}; HttpOnly; SameSite=Strict; Path=/`);
    response.writeHead(303, { Location: '/' }).end();
    return;
  }
  if (!isSameSecret(cookieToken(request), host.token)) return refuse(response, 403, 'no token');

  if (request.method === 'GET') return await serveScreen(url.pathname, response, host.screensFolder);
  if (request.method !== 'POST') return refuse(response, 405, 'method not allowed');
  // A form of another site cannot set this header without asking first, and no one is let.
  if (request.headers['x-panelwright-client'] === undefined) return refuse(response, 403, 'no client');
  const clientId = String(request.headers['x-panelwright-client']).slice(0, 100);
  if (url.pathname === '/upload') return await receiveUpload(request, response, { ...host, clientId });
  if (url.pathname.startsWith('/ask/')) {
    return await answerAsk(
      request,
      response,
      decodeURIComponent(url.pathname.slice('/ask/'.length)),
      clientId,
      host,
    );
  }
  refuse(response, 404, 'not found');
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

async function serveScreen(pathname: string, response: ServerResponse, folder: string): Promise<void> {
  const path = normalize(join(folder, pathname === '/' ? 'index.html' : decodeURIComponent(pathname)));
  const mediaType = MEDIA_TYPES[extname(path)];
  const isInside = path.startsWith(normalize(folder) + sep);
  const isFile = isInside && (await stat(path).catch(() => undefined))?.isFile();
  if (!isFile || mediaType === undefined) return refuse(response, 404, 'not found');
  response.writeHead(200, { 'Content-Type': mediaType });
  await pipeline(createReadStream(path), response);
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

function cookieToken(request: IncomingMessage): string {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=');
    if (name === COOKIE && value !== undefined) return value;
  }
  return '';
}

function isSameSecret(offered: string, expected: string): boolean {
  const [a, b] = [Buffer.from(offered), Buffer.from(expected)];
  return a.length === b.length && timingSafeEqual(a, b);
}

async function listen(server: Server, port: number): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, ADDRESS, resolve);
  });
}
