import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { showProblem } from '../state/notices.ts';
import { WorkQueue } from './work-queue.tsx';

/** What the program finds on its machine, the work that it shares with others, and the folder that it watches. */
export function ThisMachine() {
  return (
    <section>
      <h2>This machine</h2>
      <Doctor />
      <WorkQueue />
      <WatchedFolder />
    </section>
  );
}

function Doctor() {
  const [lines, setLines] = useState<ContractReply<'app:doctor'> | 'looking'>();
  const look = async () => {
    setLines('looking');
    const answer = await ask('app:doctor', {});
    if (!answer.ok) showProblem(answer.problem);
    setLines(answer.ok ? answer.value : undefined);
  };
  return (
    <>
      <Button isDisabled={lines === 'looking'} onClick={() => void look()}>
        Check this machine
      </Button>
      <div role="status">
        {lines === 'looking' && <p>Looking at database, disk, fonts, renderer and clock…</p>}
        {lines !== undefined && lines !== 'looking' && (
          <>
            <p>{lines.every(({ isRight }) => isRight) ? 'Nothing is wrong.' : 'Something is wrong:'}</p>
            <ul>
              {lines.map(({ what, isRight, text, remedy }) => (
                <li key={`${what} ${text}`}>
                  <strong>
                    {isRight ? '' : 'Wrong: '}
                    {what}
                  </strong>{' '}
                  {text} {remedy}
                </li>
              ))}
            </ul>
          </>
        )}
      </div>
    </>
  );
}

const LOOK_AGAIN_MS = 3000;

function WatchedFolder() {
  const [state, setState] = useState<ContractReply<'watch:state'>>();
  useEffect(() => {
    let isShown = true;
    const look = async () => {
      const answer = await ask('watch:state', {});
      if (isShown && answer.ok) setState(answer.value);
    };
    void look();
    const timer = setInterval(() => void look(), LOOK_AGAIN_MS);
    return () => {
      isShown = false;
      clearInterval(timer);
    };
  }, []);
  const set = async (folder: string | null) => {
    const answer = await ask('watch:set', { folder });
    if (answer.ok) setState(answer.value);
    else showProblem(answer.problem);
  };
  const select = async () => {
    const folder = await ask('folder:choose', { title: 'Folder to watch for artwork' });
    if (!folder.ok) return showProblem(folder.problem);
    if (folder.value) await set(folder.value.token);
  };
  if (!state) return null;
  return (
    <>
      <h3>Watched folder</h3>
      <p>
        {state.folder === null
          ? 'No folder is watched. PDFs in a watched folder become jobs by themselves: those that nothing speaks against are written and verified, the others wait with their report.'
          : `${state.folder} is watched. What came of each file stands in _log.txt there.`}
      </p>
      {state.folder === null ? (
        <Button onClick={() => void select()}>Watch a folder…</Button>
      ) : (
        <Button onClick={() => void set(null)}>Stop watching</Button>
      )}
      <ul aria-live="polite" aria-label="What came of the last files">
        {state.sentences.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </>
  );
}
