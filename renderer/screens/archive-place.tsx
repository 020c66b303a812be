/** Which archive the program opens: a folder of this machine, or one that seats share. */
import { useEffect, useState } from 'preact/hooks';
import type { ContractReply } from '../../core/contract/contract.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { TextField } from '../parts/field.tsx';
import { Facts, Section } from '../parts/section.tsx';
import { showProblem } from '../state/notices.ts';

const hasPassword = (address: string): boolean => /^\s*\w+:\/\/[^/@]*:[^/@]*@|[?&]password=/.test(address);
const PASSWORD =
  'Leave the password out, because others could read it here: PostgreSQL takes it from ~/.pgpass or PGPASSWORD.';

type Setting = ContractReply<'archive:setting'>;

export function ArchivePlace() {
  const [setting, setSetting] = useState<Setting>();
  const [isBrowser, setBrowser] = useState(true);
  const [address, setAddress] = useState('');
  useEffect(() => {
    void (async () => {
      const [info, found] = await Promise.all([ask('app:info', {}), ask('archive:setting', {})]);
      if (info.ok) setBrowser(info.value.host === 'browser');
      if (found.ok) setSetting(found.value);
    })();
  }, []);
  if (!setting) return null;
  const select = async (request: { readonly address: string | null; readonly title: string | null }) => {
    const folder = request.title === null ? null : await ask('folder:choose', { title: request.title });
    if (folder && !folder.ok) return showProblem(folder.problem);
    if (folder?.ok && !folder.value) return;
    const token = folder?.ok ? (folder.value?.token ?? null) : null;
    const answer = await ask('archive:select', { address: request.address, folder: token });
    if (answer.ok) setSetting(answer.value);
    else showProblem(answer.problem);
  };
  const { now, vault, next, isSetAtStart } = setting;
  return (
    <Section title="Archive">
      <Facts
        rows={[
          ['In use', now],
          ...(vault === null ? [] : [['Its files', vault] as const]),
          ...(next === null || next.place === now ? [] : [['From the next start', next.place] as const]),
          ...(next?.vault == null || next.place === now ? [] : [['Files from then', next.vault] as const]),
        ]}
      />
      {isBrowser ? (
        <p>In a browser, the archive is selected where the program is started: --archive and --vault.</p>
      ) : (
        <>
          <p>
            Jobs stay in the archive that they are in; panelwright archive-move copies them. What is selected
            here applies from the next start.
            {isSetAtStart && ' PANELWRIGHT_ARCHIVE is set on this machine, and it decides.'}
          </p>
          <Button
            onClick={() => void select({ address: null, title: 'Folder of the archive on this machine' })}
          >
            Select a folder…
          </Button>
          <TextField
            label="Address of a shared archive"
            hint="postgres://server/database, without a password: that is kept in ~/.pgpass or PGPASSWORD."
            value={address}
            onChange={setAddress}
            onInput={setAddress}
            {...(hasPassword(address) && { problem: PASSWORD })}
          />
          <Button
            isDisabled={address.trim() === '' || hasPassword(address)}
            onClick={() =>
              void select({ address: address.trim(), title: 'Folder for the files of the shared archive' })
            }
          >
            Share an archive…
          </Button>
          {next !== null && (
            <Button onClick={() => void select({ address: null, title: null })}>Use the usual folder</Button>
          )}
        </>
      )}
    </Section>
  );
}
