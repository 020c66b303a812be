import type { ServerResponse } from 'node:http';

/** Ends a request that is not answered, with a sentence for whoever reads the reply by hand. */
export function refuse(response: ServerResponse, status: number, reason: string): void {
  response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8', Connection: 'close' });
  response.end(`${reason}\n`);
}
