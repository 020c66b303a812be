/** Questions over HTTP to the loopback host: progress comes line by line, aborting the request cancels. */
import { z } from 'zod';
import { wireText, wireValue } from '../../core/contract/wire.ts';
import type { Problem } from '../../core/measure/result.ts';
import { type Transport, unreachable } from './transport.ts';

/** Names this tab, so that its job locks and chosen files are its own. */
const clientId = crypto.randomUUID();

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

  async ask(verb, request, { signal, onProgress }) {
    try {
      const response = await fetch(`/ask/${encodeURIComponent(verb)}`, {
        method: 'POST',
        headers: { 'X-Panelwright-Client': clientId },
        body: wireText(request),
        ...(signal && { signal }),
      });
      if (!response.ok || !response.body) return failed(unreachable);
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
    void fetch(`/ask/${encodeURIComponent(verb)}`, {
      method: 'POST',
      headers: { 'X-Panelwright-Client': clientId },
      body: wireText(request),
      keepalive: true,
    }).catch(() => undefined);
  },

  offer(file, onProgress) {
    return new Promise((resolve) => {
      // Only XMLHttpRequest reports how much of an upload has gone.
      const request = new XMLHttpRequest();
      request.open('POST', '/upload');
      request.setRequestHeader('X-Panelwright-Client', clientId);
      request.setRequestHeader('X-File-Name', encodeURIComponent(file.name));
      request.upload.onprogress = ({ loaded, total }) => onProgress(total > 0 ? loaded / total : 0);
      request.onerror = () => resolve(failed(unreachable));
      request.onload = () =>
        resolve(
          request.status === 200
            ? { ok: true, value: read(request.responseText) }
            : failed({
                code: 'upload-refused',
                message: `${file.name} was not taken (${request.responseText.trim()}).`,
                remedy: 'Choose a smaller file, or use the desktop program.',
              }),
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
    rest = lines.pop()!;
    yield* lines.filter((line) => line !== '');
  }
  if (rest !== '') yield rest;
}

const cancelled: Problem = {
  code: 'cancelled',
  message: 'The work was cancelled.',
  remedy: 'Start it again when you are ready.',
};
