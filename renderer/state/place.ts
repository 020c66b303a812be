/** Where in the program the person is. The address keeps it, so that reload and back work. */
import { signal } from '@preact/signals';

export type Place =
  | { readonly screen: 'jobs' }
  | { readonly screen: 'shared-rolls'; readonly jobIds: readonly string[] }
  | { readonly screen: 'bench'; readonly jobId: string }
  | { readonly screen: 'production'; readonly jobId: string }
  | { readonly screen: 'output'; readonly jobId: string }
  | { readonly screen: 'history'; readonly jobId: string }
  | { readonly screen: 'sheets'; readonly jobId: string };

const JOB_SCREENS = ['bench', 'production', 'sheets', 'output', 'history'] as const;

export function placeFromAddress(hash: string): Place {
  const [screen, ...more] = hash.replace(/^#\/?/, '').split('/').map(decodeURIComponent);
  const [jobId] = more;
  const ofJob = JOB_SCREENS.find((name) => name === screen);
  if (jobId && ofJob) return { screen: ofJob, jobId };
  if (screen === 'shared-rolls') return { screen, jobIds: [...new Set(more.filter((id) => id !== ''))] };
  return { screen: 'jobs' };
}

export function addressFromPlace(place: Place): string {
  if (place.screen === 'shared-rolls') {
    return ['#', place.screen, ...place.jobIds.map(encodeURIComponent)].join('/');
  }
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
