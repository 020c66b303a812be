import type { ServerResponse } from 'node:http';

/** Refuses a request, with a sentence for a person who reads the reply. */
export function refuse(response: ServerResponse, status: number, reason: string): void {
  response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8', Connection: 'close' });
  response.end(`${reason}\n`);
}
