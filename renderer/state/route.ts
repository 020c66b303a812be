/** The current place in the program. The address holds it, so that reload and back work. */
import { signal } from '@preact/signals';
import { isTermId, type TermId } from '../../core/words/glossary.ts';
import { isEntryAddress } from '../client/client.ts';

export type Route =
  | { readonly screen: 'jobs' }
  | { readonly screen: 'shop' }
  | { readonly screen: 'first-steps' }
  | { readonly screen: 'week' }
  | { readonly screen: 'reports' }
  | { readonly screen: 'about' }
  | { readonly screen: 'glossary'; readonly term?: TermId }
  /** `roll`: the code on the label of one. */
  | { readonly screen: 'rolls'; readonly roll?: string }
  /** `nesting`: the id of a kept one of these jobs. */
  | { readonly screen: 'shared-rolls'; readonly jobIds: readonly string[]; readonly nesting?: string }
  | { readonly screen: 'bench'; readonly jobId: string }
  | { readonly screen: 'production'; readonly jobId: string }
  | { readonly screen: 'output'; readonly jobId: string }
  | { readonly screen: 'history'; readonly jobId: string }
  | { readonly screen: 'reprint'; readonly jobId: string; readonly output?: number }
  | { readonly screen: 'compare'; readonly jobId: string }
  | { readonly screen: 'sheets'; readonly jobId: string };

const PLAIN_SCREENS = ['shop', 'week', 'reports', 'first-steps', 'about'] as const;
const JOB_SCREENS = ['bench', 'production', 'sheets', 'output', 'history', 'compare'] as const;

const NESTING = '?nesting=';

export function routeFromAddress(hash: string): Route {
  const [address = '', nesting] = hash.split(NESTING);
  const [screen, ...more] = address.replace(/^#\/?/, '').split('/').map(decodeURIComponent);
  const [jobId, output] = more;
  const ofJob = JOB_SCREENS.find((name) => name === screen);
  if (jobId && screen === 'reprint')
    return { screen, jobId, ...(/^[1-9]\d{0,8}$/.test(output ?? '') && { output: Number(output) }) };
  if (jobId && ofJob) return { screen: ofJob, jobId };
  if (screen === 'shared-rolls') {
    const jobIds = [...new Set(more.filter((id) => id !== ''))];
    return { screen, jobIds, ...(nesting && { nesting: decodeURIComponent(nesting) }) };
  }
  if (screen === 'rolls') return { screen, ...(jobId && { roll: jobId }) };
  if (screen === 'glossary')
    return { screen, ...(jobId !== undefined && isTermId(jobId) && { term: jobId }) };
  return { screen: PLAIN_SCREENS.find((name) => name === screen) ?? 'jobs' };
}

export function addressFromRoute(route: Route): string {
  if (route.screen === 'shared-rolls') {
    const address = ['#', route.screen, ...route.jobIds.map(encodeURIComponent)].join('/');
    return route.nesting === undefined ? address : `${address}${NESTING}${encodeURIComponent(route.nesting)}`;
  }
  if (route.screen === 'glossary' && route.term) return `#/glossary/${route.term}`;
  if (route.screen === 'rolls' && route.roll !== undefined)
    return `#/rolls/${encodeURIComponent(route.roll)}`;
  if (!('jobId' in route)) return `#/${route.screen}`;
  const address = `#/${route.screen}/${encodeURIComponent(route.jobId)}`;
  return route.screen === 'reprint' && route.output !== undefined ? `${address}/${route.output}` : address;
}

export const route = signal<Route>(routeFromAddress(location.hash));

export function showScreen(next: Route): void {
  location.hash = addressFromRoute(next);
}

/** Follows the address; called once. */
export function followAddress(): void {
  window.addEventListener('hashchange', () => {
    if (!isEntryAddress(location.hash)) route.value = routeFromAddress(location.hash);
  });
}
