import { useEffect, useState } from 'preact/hooks';
import type { Picture as PictureBytes, RunSummary } from '../../core/contract/contract.ts';
import { ask } from '../client/client.ts';
import { Picture } from '../parts/picture.tsx';
import { bytesText } from '../parts/quantity-text.ts';

const THUMBNAIL_PX = 280;

type File = RunSummary['files'][number];

/** Every file of a run, each PDF with its first page. */
export function RunFiles({ run }: { readonly run: RunSummary }) {
  return (
    <ul class="run-files">
      {run.files.map((file) => (
        <li key={file.name}>
          {file.name.endsWith('.pdf') && <FilePicture runId={run.id} file={file} />}
          <div>{file.panelLabel ?? file.name}</div>
          <div class="quiet">{bytesText(file.sizeBytes)}</div>
        </li>
      ))}
    </ul>
  );
}

function FilePicture({ runId, file }: { readonly runId: number; readonly file: File }) {
  const [picture, setPicture] = useState<PictureBytes | null>();
  useEffect(() => {
    const abort = new AbortController();
    const request = { runId, name: file.name, page: 1, widthPx: THUMBNAIL_PX };
    void inTurn(async () => {
      if (abort.signal.aborted) return;
      const answer = await ask('run:picture', request, { signal: abort.signal });
      if (!abort.signal.aborted) setPicture(answer.ok ? answer.value : null);
    });
    return () => abort.abort();
  }, [runId, file.name]);
  return <Picture picture={picture} label={`First page of ${file.name}`} className="file-picture" />;
}

let before: Promise<void> = Promise.resolve();

/** A run has dozens of files: drawn all at once they would keep everything else that is asked for waiting. */
function inTurn(work: () => Promise<void>): Promise<void> {
  before = before.then(work);
  return before;
}
