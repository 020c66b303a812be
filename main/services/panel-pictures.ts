/** Pictures of panels as they print, before anything is written. The panel that was looked at last lies ready. */
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ContractReply, ContractRequest } from '../../core/contract/contract.ts';
import { rectFromStored } from '../../core/job/stored-rect.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { PictureMaker } from '../render/picture-maker.ts';
import { pngFromPicture } from '../render/png.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import type { TaskTools } from '../tasks/task-tools.ts';

interface CutPanel {
  readonly key: string;
  readonly folder: string;
  readonly maker: PictureMaker;
  readonly unitsPerMm: number;
}

interface PanelParts {
  readonly work: TaskRunner;
  readonly artwork: ArtworkAt;
  readonly archiveFolder: string;
}

type Drawn = Result<ContractReply<'panel:picture'>>;

export class PanelPictures {
  /** Requests follow one another: each may put the panel of the one before away. */
  #turn: Promise<unknown> = Promise.resolve();
  #cut: CutPanel | undefined;

  async picture(
    parts: PanelParts,
    request: ContractRequest<'panel:picture'>,
    tools: TaskTools,
  ): Promise<Drawn> {
    const drawn = this.#turn.then(() => this.#draw(parts, request, tools));
    this.#turn = drawn.catch(() => undefined);
    return await drawn;
  }

  async close(): Promise<void> {
    await this.#turn;
    await this.#putAway();
  }

  async #draw(
    { work, artwork, archiveFolder }: PanelParts,
    { job, panelId, window, widthPx }: ContractRequest<'panel:picture'>,
    tools: TaskTools,
  ): Promise<Drawn> {
    if (tools.signal.aborted) return resultProblem(cancelledProblem);
    const key = `${panelId} ${JSON.stringify(job)}`;
    if (this.#cut?.key !== key) {
      const made = await work.run('panel', { job, panelId, artwork, archiveFolder }, tools);
      if (!made.ok) return made;
      await this.#putAway();
      const folder = makeScratchFolder('panel');
      const path = join(folder, 'panel.pdf');
      await writeFile(path, made.value.bytes);
      this.#cut = {
        key,
        folder,
        maker: new PictureMaker(path, { isLent: true }),
        unitsPerMm: made.value.unitsPerMm,
      };
    }
    const { maker, unitsPerMm } = this.#cut;
    const { x, y, width, height } = rectFromStored<'film'>(window);
    const area = {
      xPt: x * unitsPerMm,
      yPt: y * unitsPerMm,
      widthPt: width * unitsPerMm,
      heightPt: height * unitsPerMm,
    };
    const outcome = await maker.picture(1, area, widthPx);
    if (!outcome.ok) return resultProblem(notDrawable);
    const { picture } = outcome;
    return resultOk({ png: pngFromPicture(picture), widthPx: picture.width, heightPx: picture.height });
  }

  async #putAway(): Promise<void> {
    const cut = this.#cut;
    this.#cut = undefined;
    if (!cut) return;
    await cut.maker.close();
    await rm(cut.folder, { recursive: true, force: true });
  }
}

const notDrawable = {
  code: 'picture-not-drawable',
  message: 'The panel could not be drawn for the screen.',
  remedy: 'Write the output and open the panel in a viewer.',
};
