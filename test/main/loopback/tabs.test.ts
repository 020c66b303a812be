import { expect, it } from 'vitest';
import { Tabs } from '../../../main/loopback/tabs.ts';

it('a tab that says nothing for some minutes is taken for closed, unless it waits for an answer', async () => {
  let nowMs = 0;
  const released: string[] = [];
  const tabs = new Tabs(
    (clientId) => released.push(clientId),
    () => nowMs,
  );
  let answer = () => {};
  tabs.stay('quiet');
  tabs.stay('busy');
  const asking = tabs.run(
    'asking',
    () =>
      new Promise((resolve) => {
        answer = resolve;
      }),
  );
  nowMs = 149_000;
  tabs.stay('busy');
  tabs.sweep();
  expect(released).toEqual([]);
  nowMs = 151_000;
  tabs.sweep();
  expect(released).toEqual(['quiet']);
  answer();
  await asking;
  tabs.sweep();
  expect(released).toEqual(['quiet']);
  nowMs = 400_000;
  tabs.sweep();
  expect(released.toSorted()).toEqual(['asking', 'busy', 'quiet']);
});
