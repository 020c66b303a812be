/** Where in the program the person is. The address keeps it, so that reload and back work. */
import { signal } from '@preact/signals';

export type Place =
  | { readonly screen: 'jobs' }
  | { readonly screen: 'bench'; readonly jobId: string }
  | { readonly screen: 'production'; readonly jobId: string }
  | { readonly screen: 'output'; readonly jobId: string }
  | { readonly screen: 'history'; readonly jobId: string }
  | { readonly screen: 'sheets'; readonly jobId: string };

const JOB_SCREENS = ['bench', 'production', 'sheets', 'output', 'history'] as const;

export function placeFromAddress(hash: string): Place {
  const [screen, jobId] = hash.replace(/^#\/?/, '').split('/').map(decodeURIComponent);
  const ofJob = JOB_SCREENS.find((name) => name === screen);
  if (jobId && ofJob) return { screen: ofJob, jobId };
  return { screen: 'jobs' };
}

export function addressFromPlace(place: Place): string {
  return 'jobId' in place ? `#/${place.screen}/${encodeURIComponent(place.jobId)}` : '#/jobs';
}

export const place = signal<Place>(placeFromAddress(location.hash));

export function placeGo(next: Place): void {
  location.hash = addressFromPlace(next);
}

/** Follows the address; called once. */
export function placeFollowed(): void {
  window.addEventListener('hashchange', () => {
    place.value = placeFromAddress(location.hash);
  });
}
