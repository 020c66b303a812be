/** Serves the built screens under the app's own scheme, with the content security policy on every file. */
import { readFile } from 'node:fs/promises';
import { extname, join, normalize, sep } from 'node:path';
import type { Protocol } from 'electron';
import { MEDIA_TYPES } from '../screens/media-types.ts';
import { CONTENT_SECURITY_POLICY } from '../screens/security-policy.ts';
import { SCREENS_ORIGIN, SCREENS_SCHEME } from './channels.ts';

/** Must run before the app is ready: a standard, secure scheme gets an origin of its own. */
export function registerScreensScheme(protocol: Pick<Protocol, 'registerSchemesAsPrivileged'>): void {
  protocol.registerSchemesAsPrivileged([
    { scheme: SCREENS_SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
}

export function setUpScreensProtocol(protocol: Pick<Protocol, 'handle'>, folder: string): void {
  protocol.handle(SCREENS_SCHEME, (request) => screenResponse(request.url, folder));
}

export async function screenResponse(url: string, folder: string): Promise<Response> {
  const notFound = new Response('not found', { status: 404 });
  const { origin, pathname } = screenAddress(url);
  if (origin !== SCREENS_ORIGIN) return notFound;
  const path = normalize(join(folder, pathname === '/' ? 'index.html' : pathname));
  const mediaType = MEDIA_TYPES[extname(path)];
  if (!path.startsWith(normalize(folder) + sep) || mediaType === undefined) return notFound;
  const content = await readFile(path).catch(() => undefined);
  if (!content) return notFound;
  return new Response(new Uint8Array(content), {
    headers: {
      'Content-Type': mediaType,
      'Content-Security-Policy': CONTENT_SECURITY_POLICY,
      'X-Content-Type-Options': 'nosniff',
    },
  });
}

/** The WHATWG URL parser gives a scheme of our own the origin 'null', so the address is put together here. */
function screenAddress(url: string): { origin: string; pathname: string } {
  try {
    const { protocol, host, pathname } = new URL(url);
    return { origin: `${protocol}//${host}`, pathname: decodeURIComponent(pathname) };
  } catch {
    return { origin: '', pathname: '' };
  }
}
