/** Heavy work of all seats of a shared archive: what waits, runs and failed, and why. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { PastTime } from '../parts/past-time.tsx';
import { showProblem } from '../state/notices.ts';

type QueueState = NonNullable<ContractReply<'queue:state'>>;
type Task = QueueState['tasks'][number];

const LOOK_AGAIN_MS = 1000;
const STATES: Readonly<Record<Task['state'], string>> = {
  waiting: 'Waiting',
  running: 'Running',
  done: 'Done',
  canceled: 'Canceled',
  failed: 'Failed',
};

export function WorkQueue() {
  const [state, setState] = useState<QueueState | null>();
  useEffect(() => {
    let isShown = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const look = async () => {
      const answer = await ask('queue:state', {});
      if (!isShown) return;
      if (answer.ok) setState(answer.value);
      // An archive of one machine has none, and never will.
      if (!answer.ok || answer.value) timer = setTimeout(() => void look(), LOOK_AGAIN_MS);
    };
    void look();
    return () => {
      isShown = false;
      clearTimeout(timer);
    };
  }, []);
  if (!state) return null;
  const { workers, tasks } = state;
  return (
    <>
      <h3>Heavy work of all seats</h3>
      <p role="status">
        {workers.length === 0
          ? 'No worker runs, so each seat does its own heavy work. To start one on any machine: panelwright worker.'
          : `${workers.length === 1 ? '1 worker takes' : `${workers.length} workers take`} tasks, on ${[...new Set(workers)].join(', ')}.`}
      </p>
      {tasks.length > 0 && (
        <table class="table" aria-label="Tasks of the last day">
          <thead>
            <tr>
              <th scope="col">Task</th>
              <th scope="col">State</th>
              <th scope="col">Asked by</th>
              <th scope="col">When</th>
              <th scope="col">What happened</th>
              <td />
            </tr>
          </thead>
          <tbody>
            {tasks.map((task) => (
              <TaskRow key={task.id} task={task} />
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

function TaskRow({ task: { id, title, state, askedBy, at, tries, notes } }: { readonly task: Task }) {
  const cancel = async () => {
    const answer = await ask('queue:cancel', { id });
    if (!answer.ok) showProblem(answer.problem);
  };
  const isOpen = state === 'waiting' || state === 'running';
  return (
    <tr>
      <th scope="row">{title}</th>
      <td>{tries > 1 ? `${STATES[state]}, try ${tries}` : STATES[state]}</td>
      <td>{askedBy}</td>
      <td>
        <PastTime at={at} />
      </td>
      <td>{notes.join('; ')}</td>
      <td>
        {isOpen && (
          <Button spoken={`Cancel ${title}`} onClick={() => void cancel()}>
            Cancel
          </Button>
        )}
      </td>
    </tr>
  );
}
