import { cpSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { deflateSync, inflateSync } from 'node:zlib';
import {
  decodePDFRawStream,
  PDFArray,
  PDFDict,
  PDFDocument,
  PDFName,
  PDFRawStream,
  PDFStream,
} from 'pdf-lib';
import type { Job } from '../../../core/job/schema.ts';
import type { Manifest } from '../../../core/output/manifest.ts';
import type { VerificationReport } from '../../../core/verify/verification-report.ts';
import { type OpenedArtwork, openArtwork } from '../../../main/artwork/artwork-file.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { type JobState, jobState } from '../../../main/job/job-state.ts';
import { stageJobOutput } from '../../../main/tasks/job-output.ts';
import { verifyWrittenFiles } from '../../../main/verify/output-verification.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { verificationArtwork } from './verification-art.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };

/** The small job written once, and copies of it to be damaged. */
export class WrittenOutput {
  readonly home = mkdtempSync(join(tmpdir(), 'panelwright-verification-'));
  readonly folder = join(this.home, 'out');
  artwork!: OpenedArtwork;
  state!: JobState;
  manifest!: Manifest;
  #copies = 0;

  static async made(
    artwork: Uint8Array = verificationArtwork(),
    over: Partial<Job> = {},
  ): Promise<WrittenOutput> {
    const output = new WrittenOutput();
    const path = join(output.home, 'artwork.pdf');
    writeFileSync(path, artwork);
    output.artwork = resultValue(await openArtwork(path, { box: 'crop' }));
    const job = smallJob({ artwork: output.artwork.reference, ...over });
    // What the checks think of the artwork is not what is tried here.
    output.state = { ...jobState(job, output.artwork), blocking: [] };
    const { state, folder } = output;
    const written = resultValue(
      await stageJobOutput(
        { state, artwork: output.artwork, jobFolder: output.home, sheets: [], output: { number: 1 } },
        TOOLS,
      ),
    );
    renameSync(written.staged, folder);
    output.manifest = written.manifest;
    return output;
  }

  remove(): void {
    rmSync(this.home, { recursive: true });
  }

  copy(): OutputCopy {
    const folder = join(this.home, `copy-${++this.#copies}`);
    cpSync(this.folder, folder, { recursive: true });
    return new OutputCopy(this, folder, structuredClone(this.manifest));
  }
}

export class OutputCopy {
  readonly folder: string;
  readonly manifest: Manifest;
  readonly #of: WrittenOutput;

  constructor(of: WrittenOutput, folder: string, manifest: Manifest) {
    this.#of = of;
    this.folder = folder;
    this.manifest = manifest;
  }

  async verified(panelIds?: ReadonlySet<string>): Promise<VerificationReport> {
    const { state, artwork } = this.#of;
    const { folder, manifest } = this;
    return resultValue(
      await verifyWrittenFiles({ manifest, folder, state, artwork, ...(panelIds && { panelIds }) }, TOOLS),
    );
  }

  path(panel: number): string {
    return join(this.folder, this.manifest.panels[panel]!.file);
  }

  bytes(panel: number): Uint8Array {
    return readFileSync(this.path(panel));
  }

  /** Replaces a panel's file and, by default, its hash in the manifest. */
  replace(panel: number, bytes: Uint8Array, isListed = true): void {
    writeFileSync(this.path(panel), bytes);
    if (!isListed) return;
    const entry = this.manifest.files.find(({ file }) => file === this.manifest.panels[panel]!.file)!;
    Object.assign(entry, { sha256: sha256Hex(bytes), sizeBytes: bytes.length });
  }

  async edit(panel: number, change: (parts: PanelParts) => void): Promise<void> {
    const document = await PDFDocument.load(this.bytes(panel), { updateMetadata: false });
    change(new PanelParts(document));
    this.replace(panel, await document.save());
  }
}

const ART = PDFName.of('Art');

/** Where a test lays hands on a panel. */
export class PanelParts {
  readonly document: PDFDocument;

  constructor(document: PDFDocument) {
    this.document = document;
  }

  get page(): PDFDict {
    return this.document.getPage(0).node;
  }

  get #forms(): PDFDict {
    return this.page.lookup(PDFName.of('Resources'), PDFDict).lookup(PDFName.of('XObject'), PDFDict);
  }

  get art(): PDFRawStream {
    return this.#forms.lookup(ART) as PDFRawStream;
  }

  resource(category: string, name: string): PDFDict {
    return this.resources(category)!.lookup(PDFName.of(name), PDFDict);
  }

  /** The tint transform of a Separation. */
  tintTransform(name: string): PDFDict {
    return this.resources('ColorSpace')!.lookup(PDFName.of(name), PDFArray).lookup(3, PDFDict);
  }

  /** Undefined where the panel uses nothing of the kind. */
  resources(category: string): PDFDict | undefined {
    return this.art.dict.lookup(PDFName.of('Resources'), PDFDict).lookupMaybe(PDFName.of(category), PDFDict);
  }

  /** Changes numbers of the form's Matrix. */
  moveArt(change: (matrix: number[]) => number[]): void {
    const key = PDFName.of('Matrix');
    const numbers = this.art.dict
      .lookup(key, PDFArray)
      .asArray()
      .map((item) => Number(String(item)));
    this.art.dict.set(key, this.document.context.obj(change(numbers)));
  }

  /** Rewrites what the art paints. */
  editContent(change: (content: string) => string): void {
    const { art } = this;
    const before = Buffer.from(decodePDFRawStream(art).decode()).toString('latin1');
    const after = change(before);
    if (after === before) throw new Error('The change found nothing to change');
    const packed = this.document.context.flateStream(after);
    const dict = art.dict.clone();
    dict.delete(PDFName.of('DecodeParms'));
    dict.set(PDFName.of('Filter'), packed.dict.get(PDFName.of('Filter'))!);
    const ref = this.document.context.register(PDFRawStream.of(dict, packed.contents));
    this.#forms.set(ART, ref);
  }

  /** Inverts the last sample of the picture that the art uses, which is packed by Flate. */
  changeSample(): void {
    const images = this.resources('XObject')!;
    const [name] = images.keys();
    const image = images.lookup(name!) as PDFRawStream;
    const samples = inflateSync(image.contents);
    samples[samples.length - 1]! ^= 255;
    images.set(name!, this.document.context.register(PDFRawStream.of(image.dict, deflateSync(samples))));
  }

  /** Sets something on the page, before everything else. */
  paintBefore(operators: string): void {
    const { context } = this.document;
    const contents = PDFName.of('Contents');
    this.page.set(
      contents,
      context.obj([context.register(context.stream(operators)), this.page.get(contents)!]),
    );
  }

  /** Paints something on the page, after everything else. */
  paintOver(operators: string): void {
    const { context } = this.document;
    const contents = PDFName.of('Contents');
    const before = this.page.get(contents)!;
    if (!(context.lookup(before) instanceof PDFStream)) throw new Error('The page has more than one stream');
    this.page.set(contents, context.obj([before, context.register(context.stream(operators))]));
  }
}
