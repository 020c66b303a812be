/** A stream object: dictionary entries without `<<`, `>>` and Length, and the data as they stand. */
export interface RawStream {
  readonly dict?: string;
  readonly data: string | Uint8Array;
}

export type RawObject = string | RawStream;

export interface RawPage {
  /** Entries of the page beside Type, Parent, Contents. MediaBox included unless inherited. */
  readonly page?: string;
  readonly resources?: string;
  /** One content stream, or several to be joined; none leaves Contents out. */
  readonly content?: string | readonly string[];
  /** Entries of the page tree's root, to be inherited. */
  readonly pages?: string;
  readonly catalog?: string;
  /** Further objects by number, from 20 on. */
  readonly objects?: Readonly<Record<number, RawObject>>;
  readonly version?: string;
  /** Entries of the trailer beside Size and Root. */
  readonly trailer?: string;
}

/** A one-page PDF written by hand, so that a test says exactly what the file holds. */
export function rawPdf(given: RawPage): Uint8Array {
  const contents = given.content === undefined ? [] : [given.content].flat();
  const refs = contents.map((_, index) => `${5 + index} 0 R`);
  const entry = refs.length === 0 ? '' : `/Contents ${refs.length === 1 ? refs[0] : `[${refs.join(' ')}]`}`;
  const resources = given.resources === undefined ? '' : `/Resources << ${given.resources} >>`;
  return pdfFromObjects(
    {
      1: `<< /Type /Catalog /Pages 2 0 R ${given.catalog ?? ''} >>`,
      2: `<< /Type /Pages /Kids [3 0 R] /Count 1 ${given.pages ?? ''} >>`,
      3: `<< /Type /Page /Parent 2 0 R ${given.page ?? ''} ${resources} ${entry} >>`,
      ...Object.fromEntries(contents.map((data, index) => [5 + index, { data }])),
      ...given.objects,
    },
    given,
  );
}

/** A PDF of the given objects with an intact cross-reference table. Object 1 is the catalog. */
export function pdfFromObjects(
  objects: Readonly<Record<number, RawObject>>,
  { version = '1.7', trailer = '' }: { readonly version?: string; readonly trailer?: string } = {},
): Uint8Array {
  const parts: Buffer[] = [];
  let length = 0;
  const write = (part: string | Uint8Array): void => {
    const bytes = typeof part === 'string' ? Buffer.from(part, 'latin1') : Buffer.from(part);
    parts.push(bytes);
    length += bytes.length;
  };
  write(`%PDF-${version}\n%\xe2\xe3\xcf\xd3\n`);
  const offsets = new Map<number, number>();
  for (const [key, object] of Object.entries(objects)) {
    offsets.set(Number(key), length);
    write(`${key} 0 obj\n`);
    if (typeof object === 'string') write(object);
    else {
      const data = typeof object.data === 'string' ? Buffer.from(object.data, 'latin1') : object.data;
      write(`<< ${object.dict ?? ''} /Length ${data.length} >>\nstream\n`);
      write(data);
      write('\nendstream');
    }
    write('\nendobj\n');
  }
  const start = length;
  const size = [...offsets.keys()].reduce((largest, number) => Math.max(largest, number), 0) + 1;
  write(`xref\n0 ${size}\n`);
  for (let number = 0; number < size; number += 1) {
    const offset = offsets.get(number);
    write(offset === undefined ? '0000000000 65535 f \n' : `${String(offset).padStart(10, '0')} 00000 n \n`);
  }
  write(`trailer\n<< /Size ${size} /Root 1 0 R ${trailer} >>\nstartxref\n${start}\n%%EOF\n`);
  return new Uint8Array(Buffer.concat(parts));
}
