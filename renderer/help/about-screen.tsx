import type { PackageLicense } from 'panelwright:licenses';
import { useEffect, useState } from 'preact/hooks';
import { ALL_CHANGES, PROGRAM_VERSION } from './changes.ts';
import { ThisMachine } from './this-machine.tsx';
import { ChangesOf } from './what-is-new.tsx';

/** Which version this is, what is new in it, this machine, and the licenses of all packages in it. */
export function AboutScreen() {
  const [packages, setPackages] = useState<readonly PackageLicense[]>();
  useEffect(() => {
    // Long and seldom needed, so it is loaded when opened.
    void import('panelwright:licenses').then(({ default: list }) => setPackages(list));
  }, []);
  return (
    <div class="reading">
      <h1>Panelwright {PROGRAM_VERSION}</h1>
      <p>
        Cuts the flat artwork of a vehicle or trailer into numbered panels. Nothing leaves this machine,
        unless seats share an archive.
      </p>
      <section>
        <h2>What is new</h2>
        {ALL_CHANGES.map(({ version }, at) => (
          <details key={version} open={at === 0 && version !== PROGRAM_VERSION}>
            <summary>Version {version}</summary>
            <ChangesOf version={version} />
          </details>
        ))}
      </section>
      <ThisMachine />
      <section>
        <h2>Licenses</h2>
        <p>
          Panelwright is under the MIT license. It is made of these packages, each under its own license. The
          licenses of Electron and Chromium lie beside the desktop program, as LICENSE.electron.txt and
          LICENSES.chromium.html.
        </p>
        {!packages && <p role="status">Reading the licenses…</p>}
        {packages?.map(({ name, version, license, text }) => (
          <details key={`${name} ${version}`}>
            <summary>
              {name} {version} <span class="quiet">{license}</span>
            </summary>
            <pre>{text}</pre>
          </details>
        ))}
      </section>
    </div>
  );
}
