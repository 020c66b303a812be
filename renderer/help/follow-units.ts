import { effect } from '@preact/signals';
import { glossaryUnit } from '../parts/term.tsx';
import { job } from '../state/open-job.ts';
import { shopProfile } from '../state/shop.ts';

/** Shows the lengths of the glossary in the units of the job or shop; called once. */
export function followUnits(): void {
  effect(() => {
    glossaryUnit.value = job.value?.displayUnit ?? shopProfile.value.displayUnit;
  });
}
