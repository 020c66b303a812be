/**
 * Requests over HTTP to the loopback host: progress arrives line by line, and aborting the request cancels it. Each
 * request has the key of this tab, which the page got in exchange for its address.
 */
import { z } from 'zod';
import { wireText, wireValue } from '../../core/contract/wire.ts';
import { present } from '../../core/measure/present.ts';
import type { Problem } from '../../core/measure/result.ts';
import { type Transport, unreachable } from './transport.ts';

/** Identifies this tab, so that its job locks and selected files belong to it. */
const clientId = crypto.randomUUID();

const KEY = 'panelwright-key';
const ENTER = /^#enter=(\w+)$/;
/** The host considers a tab closed after a period of silence. */
const STAY_MS = 20_000;

/** Whether an address has no place in the program but lets a tab in. */
export const isEntryAddress = (hash: string): boolean => ENTER.test(hash);

/**
 * What a page that goes away may have on its way: 64 KiB in all (Fetch standard, “HTTP-network-or-cache fetch”, inflight
 * keepalive bytes); a request beyond that fails. A little is left for the farewell to the host.
 */
const MAX_TOLD_BYTES = 60 * 1024;
let toldBytes = 0;

const headers = (): Record<string, string> => ({
  'X-Panelwright-Client': clientId,
  'X-Panelwright-Key': sessionStorage.getItem(KEY) ?? '',
});

const post = (path: string, more: RequestInit = {}): Promise<Response> =>
  fetch(path, { method: 'POST', headers: headers(), ...more });

const failed = (problem: Problem) => ({ ok: false, problem });

/** Text that is no message at all becomes a value that fits no schema. */
function read(text: string): unknown {
  try {
    return wireValue(text);
  } catch {
    return undefined;
  }
}

const Line = z.union([z.object({ answer: z.unknown() }), z.object({ progress: z.unknown() })]);

export const loopbackTransport: Transport = {
  host: 'browser',

  async enter() {
    const refused = await takeKey('#/jobs');
    // Entered in the bar of an open tab, the address does not reload the page, which continues with the new key.
    window.addEventListener('hashchange', async ({ oldURL }) => {
      if (isEntryAddress(location.hash)) await takeKey(new URL(oldURL).hash);
      if (refused) location.reload();
    });
    if (refused) return refused;
    setInterval(stay, STAY_MS);
    window.addEventListener('pageshow', stay);
    window.addEventListener('pagehide', () => leave());
    return undefined;
  },

  async newTabAddress() {
    try {
      const response = await post('/new-tab');
      if (!response.ok) return { ok: false, problem: problemOf(response.status) };
      return { ok: true, value: await response.text() };
    } catch {
      return { ok: false, problem: unreachable };
    }
  },

  async ask(verb, request, { signal, onProgress }) {
    try {
      const response = await post(`/ask/${encodeURIComponent(verb)}`, {
        body: wireText(request),
        ...(signal && { signal }),
      });
      if (!response.ok || !response.body) return failed(problemOf(response.status));
      for await (const line of linesOf(response.body)) {
        const message = Line.safeParse(read(line)).data;
        if (!message || 'answer' in message) return message?.answer;
        onProgress(message.progress);
      }
      return failed(unreachable);
    } catch (error) {
      if (error instanceof DOMException && error.name === 'AbortError') return failed(cancelled);
      return failed(unreachable);
    }
  },

  tell(verb, request) {
    const body = wireText(request);
    const bytes = new TextEncoder().encode(body).length;
    if (toldBytes + bytes > MAX_TOLD_BYTES) return false;
    toldBytes += bytes;
    void post(`/ask/${encodeURIComponent(verb)}`, { body, keepalive: true })
      .catch(() => undefined)
      .finally(() => {
        toldBytes -= bytes;
      });
    return true;
  },

  offer(file, onProgress) {
    return new Promise((resolve) => {
      // Only XMLHttpRequest reports upload progress.
      const request = new XMLHttpRequest();
      request.open('POST', '/upload');
      for (const [name, value] of Object.entries(headers())) request.setRequestHeader(name, value);
      request.setRequestHeader('X-File-Name', encodeURIComponent(file.name));
      request.upload.onprogress = ({ loaded, total }) => onProgress(total > 0 ? loaded / total : 0);
      request.onerror = () => resolve(failed(unreachable));
      request.onload = () =>
        resolve(
          request.status === 200
            ? { ok: true, value: read(request.responseText) }
            : failed(request.status === 401 ? noKey : uploadRefused(file.name, request.responseText.trim())),
        );
      request.send(file);
    });
  },

  onMessage() {},
};

async function* linesOf(body: ReadableStream<Uint8Array>): AsyncGenerator<string> {
  const reader = body
    .pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array>)
    .getReader();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    const lines = (rest + value).split('\n');
    rest = present(lines.pop(), 'The rest of a message');
    yield* lines.filter((line) => line !== '');
  }
  if (rest !== '') yield rest;
}

/**
 * Exchanges the token of the address, which then becomes `address`, for a key. Returns the reason where the tab gets
 * none.
 */
async function takeKey(address: string): Promise<Problem | undefined> {
  const token = ENTER.exec(location.hash)?.[1];
  // Removed from the address first, so that it is not bookmarked.
  if (token !== undefined) history.replaceState(undefined, '', address);
  try {
    if (token !== undefined) {
      const entered = await post('/enter', { body: token });
      if (entered.ok) sessionStorage.setItem(KEY, await entered.text());
    }
    const stayed = await post('/stay');
    return stayed.ok ? undefined : problemOf(stayed.status);
  } catch {
    return unreachable;
  }
}

function stay(): void {
  void post('/stay').catch(() => undefined);
}

function leave(): void {
  void post('/leave', { keepalive: true }).catch(() => undefined);
}

const problemOf = (status: number): Problem => (status === 401 ? noKey : unreachable);

const noKey: Problem = {
  code: 'no-key',
  message: 'This tab is not connected to Panelwright: it was started again, or the tab is new.',
  remedy:
    'In a tab that is connected, use New tab. Or press Enter where Panelwright was started, and open the address that appears. What this page called saved is in the archive.',
};

const uploadRefused = (fileName: string, reason: string): Problem => ({
  code: 'upload-refused',
  message: `${fileName} was not taken. ${reason}`,
  remedy: 'Mend that and try again, or use the desktop program.',
});

const cancelled: Problem = {
  code: 'cancelled',
  message: 'The work was canceled.',
  remedy: 'Start it again when you are ready.',
};
