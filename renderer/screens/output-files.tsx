import { useEffect, useState } from 'preact/hooks';
import type { OutputSummary } from '../../core/contract/output-summary.ts';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { ask } from '../client/client.ts';
import { Button } from '../parts/button.tsx';
import { Dialog } from '../parts/dialog.tsx';
import { Picture } from '../parts/picture.tsx';
import { PicturePane } from '../parts/picture-pane.tsx';
import { bytesText } from '../parts/quantity-text.ts';

const THUMBNAIL_PX = 280;

type File = OutputSummary['files'][number];

/** Every file of an output, each PDF with its first page. */
export function OutputFiles({ output }: { readonly output: OutputSummary }) {
  const [viewed, setViewed] = useState<File>();
  return (
    <>
      <ul class="output-files">
        {output.files.map((file) => (
          <li key={file.name}>
            {file.name.endsWith('.pdf') && (
              <button
                type="button"
                class="file-open"
                title={`View ${file.panelLabel ?? file.name}`}
                onClick={() => setViewed(file)}
              >
                <FilePicture outputId={output.id} name={file.name} />
              </button>
            )}
            <div>{file.panelLabel ?? file.name}</div>
            <div class="quiet">{bytesText(file.sizeBytes)}</div>
          </li>
        ))}
      </ul>
      {viewed && <FileView output={output} file={viewed} onClose={() => setViewed(undefined)} />}
    </>
  );
}

interface FileViewProps {
  readonly output: OutputSummary;
  readonly file: File;
  onClose(): void;
}

/** The first page of a file, as large as wanted. */
function FileView({ output, file, onClose }: FileViewProps) {
  const [size, setSize] = useState({ width: 100, height: 100 });
  const name = file.panelLabel ?? file.name;
  const draw = async (widthPx: number, signal: AbortSignal): Promise<Result<PictureBytes, Problem>> => {
    const request = { outputId: output.id, name: file.name, page: 1, widthPx };
    const answer = await ask('output:picture', request, { signal });
    if (!answer.ok) return answer;
    if (!answer.value) return { ok: false, problem: noPicture(name) };
    const { widthPx: width, heightPx: height } = answer.value;
    if (!signal.aborted) setSize({ width: width / 10, height: height / 10 });
    return { ok: true, value: answer.value };
  };
  return (
    <Dialog title={`${name} of Output ${output.number}`} isLarge onClose={onClose}>
      <div class="panel-view-head">
        <p>{file.name}</p>
        <Button onClick={onClose}>Close</Button>
      </div>
      <PicturePane
        name={`${output.id} ${file.name}`}
        label={`First page of ${name}`}
        widthMm={size.width}
        heightMm={size.height}
        isToScale={false}
        isWhole
        draw={(_, widthPx, signal) => draw(widthPx, signal)}
      />
    </Dialog>
  );
}

const noPicture = (name: string): Problem => ({
  code: 'picture-not-drawable',
  message: `${name} could not be drawn for the screen.`,
  remedy: 'Open it from the folder of the output.',
});

interface FilePictureProps {
  readonly outputId: number;
  readonly name: string;
  readonly widthPx?: number;
}

export function FilePicture({ outputId, name, widthPx = THUMBNAIL_PX }: FilePictureProps) {
  const [picture, setPicture] = useState<PictureBytes | null>();
  useEffect(() => {
    const abort = new AbortController();
    const request = { outputId, name, page: 1, widthPx };
    void runInTurn(async () => {
      if (abort.signal.aborted) return;
      const answer = await ask('output:picture', request, { signal: abort.signal });
      if (!abort.signal.aborted) setPicture(answer.ok ? answer.value : null);
    });
    return () => abort.abort();
  }, [outputId, name, widthPx]);
  return <Picture picture={picture} label={`First page of ${name}`} className="file-picture" />;
}

let before: Promise<void> = Promise.resolve();

/** An output has dozens of files: drawn all at once they would keep everything else that is asked for waiting. */
function runInTurn(work: () => Promise<void>): Promise<void> {
  before = before.then(work);
  return before;
}
