import { type PDFDocument, PDFHexString, PDFName, PDFString } from 'pdf-lib';
import { DOCUMENT_MARK } from './document-mark.ts';
import { type DocumentStamp, stampedIdentifier, stampedTitleDigits } from './document-stamp.ts';

/** Metadata of a document. */
export interface DocumentFacts {
  readonly title: string;
  readonly author: string;
  readonly subject: string;
  /** Date of issue, `2026-11-25`, from the job, so that the same job always gives the same bytes. */
  readonly date: string;
  /**
   * 64 hexadecimal digits that identify this document, from the job and its artwork; the file identifier begins with
   * them.
   */
  readonly sha256: string;
  /** Contents of the drawings' stamp items; the stamp's word ends the title. */
  readonly stamp?: DocumentStamp | undefined;
}

export function writeFacts(
  doc: PDFDocument,
  { title, author, subject, date, sha256, stamp }: DocumentFacts,
): void {
  const { context, catalog } = doc;
  const issued = PDFString.of(`D:${date.replaceAll('-', '')}000000Z`);
  const words = stamp?.looks.map(({ word }) => word) ?? [];
  const info = context.obj({});
  info.set(
    PDFName.of('Title'),
    stamp ? PDFHexString.of(stampedTitleDigits(title, stamp.word, words)) : PDFHexString.fromText(title),
  );
  info.set(PDFName.of('Author'), PDFHexString.fromText(author));
  info.set(PDFName.of('Subject'), PDFHexString.fromText(subject));
  info.set(PDFName.of('Creator'), PDFString.of('Panelwright'));
  info.set(PDFName.of('Producer'), PDFString.of('Panelwright'));
  info.set(PDFName.of('CreationDate'), issued);
  info.set(PDFName.of('ModDate'), issued);
  context.trailerInfo.Info = context.register(info);
  const digits = `${sha256.slice(0, 32 - DOCUMENT_MARK.length)}${DOCUMENT_MARK}`;
  const identifier = PDFHexString.of(stamp ? stampedIdentifier(digits, words.indexOf(stamp.word)) : digits);
  context.trailerInfo.ID = context.obj([identifier, identifier]);
  catalog.set(PDFName.of('Lang'), PDFString.of('en'));
  const preferences = context.obj({ DisplayDocTitle: true, PrintScaling: 'None' });
  catalog.set(PDFName.of('ViewerPreferences'), preferences);
}
