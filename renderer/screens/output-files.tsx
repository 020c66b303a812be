import { useEffect, useState } from 'preact/hooks';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import { ask } from '../client/client.ts';
import { Picture } from '../parts/picture.tsx';
import { bytesText } from '../parts/quantity-text.ts';

const THUMBNAIL_PX = 280;

type File = OutputSummary['files'][number];

/** Every file of an output, each PDF with its first page. */
export function OutputFiles({ output }: { readonly output: OutputSummary }) {
  return (
    <ul class="output-files">
      {output.files.map((file) => (
        <li key={file.name}>
          {file.name.endsWith('.pdf') && <FilePicture outputId={output.id} file={file} />}
          <div>{file.panelLabel ?? file.name}</div>
          <div class="quiet">{bytesText(file.sizeBytes)}</div>
        </li>
      ))}
    </ul>
  );
}

function FilePicture({ outputId, file }: { readonly outputId: number; readonly file: File }) {
  const [picture, setPicture] = useState<PictureBytes | null>();
  useEffect(() => {
    const abort = new AbortController();
    const request = { outputId, name: file.name, page: 1, widthPx: THUMBNAIL_PX };
    void runInTurn(async () => {
      if (abort.signal.aborted) return;
      const answer = await ask('output:picture', request, { signal: abort.signal });
      if (!abort.signal.aborted) setPicture(answer.ok ? answer.value : null);
    });
    return () => abort.abort();
  }, [outputId, file.name]);
  return <Picture picture={picture} label={`First page of ${file.name}`} className="file-picture" />;
}

let before: Promise<void> = Promise.resolve();

/** An output has dozens of files: drawn all at once they would keep everything else that is asked for waiting. */
function runInTurn(work: () => Promise<void>): Promise<void> {
  before = before.then(work);
  return before;
}
