import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { OPERAND } from '../../../../core/pdf/content/operand.ts';
import { OperationReader } from '../../../../core/pdf/content/operation-reader.ts';

const BYTES = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, 'latin1'));

interface Read {
  readonly operator: string;
  readonly operands: readonly string[];
  readonly range: readonly [number, number];
  readonly data: string;
}

/** Everything that the reader says, the content given in these pieces. */
function readAll(pieces: readonly Uint8Array[]): Read[] {
  const reader = new OperationReader();
  const found: Read[] = [];
  let next = 0;
  const push = (): void => {
    reader.push(pieces[next] ?? new Uint8Array(), next >= pieces.length - 1);
    next++;
  };
  push();
  for (;;) {
    const status = reader.next();
    if (status === 'end') return found;
    if (status === 'more') {
      if (next > pieces.length) throw new Error('asks for more after the last piece');
      push();
      continue;
    }
    const isImage = reader.operatorText.includes('ID') || reader.operator === 0x4249;
    found.push({
      operator: isImage ? 'BI' : reader.operatorText,
      operands: Array.from({ length: reader.count }, (_, i) => {
        if (reader.kinds[i] === OPERAND.number) return String(reader.values[i]);
        const string = reader.string(i);
        if (string !== undefined) return `(${Buffer.from(string).toString('latin1')})`;
        return Buffer.from(reader.bytes.subarray(reader.starts[i], reader.ends[i])).toString('latin1');
      }),
      range: [reader.base + reader.start, reader.base + reader.end],
      data: isImage
        ? Buffer.from(reader.bytes.subarray(reader.dataStart, reader.dataEnd)).toString('latin1')
        : '',
    });
  }
}

const short = (text: string): string[] =>
  readAll([BYTES(text)]).map(({ operator, operands }) => [...operands, operator].join(' '));

describe('operations', () => {
  it('operands of every kind come with their operator', () => {
    expect(
      short(
        'q 1 0 0 -1.5 .25 +30. cm /Im#201 Do [(a\\)b) -120 <4 8>] TJ (x(y)z) Tj /OC<</A[1 2]/B(>>)>> BDC true i',
      ),
    ).toEqual([
      'q',
      '1 0 0 -1.5 0.25 30 cm',
      '/Im#201 Do',
      '[(a\\)b) -120 <4 8>] TJ',
      '(x(y)z) Tj',
      '/OC <</A[1 2]/B(>>)>> BDC',
      'true i',
    ]);
  });

  it('numbers as careless programs write them', () => {
    expect(short('--5 w 1.2.3 w 5-3 w .5.5 w 12345678901234567890 w 0.000000000000001 w -.w 0.5w')).toEqual([
      '-5 w',
      '1.2 w',
      '5 -3 w',
      '0.5 w',
      '12345678901234567000 w',
      '1e-15 w',
      '0 w',
      '0.5 w',
    ]);
  });

  it('comments, stray brackets and unclosed arrays do not swallow operators', () => {
    expect(short('q % Q in a comment\nQ ) > ] } 1 w [1 2 (a) TJ 3 w << /A 1 Q')).toEqual([
      'q',
      'Q',
      '1 w',
      '[1 2 (a)  TJ',
      '3 w',
      '<< /A 1  Q',
    ]);
  });

  it('the range of an operation begins with its first operand', () => {
    const text = '  q\n1 2 m % here\n 3 4 l S';
    expect(readAll([BYTES(text)]).map(({ range: [start, end] }) => text.slice(start, end))).toEqual([
      'q',
      '1 2 m',
      '3 4 l',
      'S',
    ]);
  });

  it('an inline image ends where its data ends, whatever the data spell', () => {
    const cases: [entries: string, data: string][] = [
      ['/W 4 /H 2 /BPC 8 /CS /G', ' EI Q EI'],
      ['/W 3 /H 1 /CS /RGB /BPC 8', 'EI  EI q '],
      ['/W 12 /H 2 /IM true', ' EI '],
      ['/W 9 /H 1 /CS[/I /RGB 1 <000000ffffff>] /BPC 4', '\x01EI\n\x02'],
      ['/W 2 /H 2 /F /Fl /CS /G', 'x\x9c EI \x01\x02 EI\x00\xff'],
      ['/W 2 /H 2 /F [/A85 /Fl]', 'GEI EI q Q 1 0 0 rg EI\nabc~>'],
      ['/W 2 /H 2 /F /Fl /L 12', '\x01 EI 12 w EI'],
    ];
    for (const [entries, data] of cases) {
      const text = `q BI ${entries} ID ${data}\nEI Q 0 0 m 100 200 l S`;
      const found = readAll([BYTES(text)]);
      expect(
        found.map((read) => read.operator),
        entries,
      ).toEqual(['q', 'BI', 'Q', 'm', 'l', 'S']);
      expect(found[1]!.data).toBe(data);
    }
  });

  const CONTENT =
    'q 1 0 0 -1.5 .25 30. cm%c\n/Im1 Do BT /F 9 Tf[(a\\)\\\r\nb)-120<48 65>]TJ (x(y)\\\\z)Tj ET\nBI/W 2/H 2/CS/RGB/BPC 8 ID \x00\x01\xffEI EI Q~\x02\nEI Q BI /W 5/H 5/F/Fl ID x\x9c\x00\xfe EI\x01zz\nEI\n/OC<</A<41>/B[true null]>>BDC EMC 1e3 w 0.5w f* trueish nul "\' b* true false';

  it('content split at any places gives the same operations', () => {
    const whole = readAll([BYTES(CONTENT)]);
    expect(whole.length).toBeGreaterThan(18);
    fc.assert(
      fc.property(fc.array(fc.nat(CONTENT.length), { maxLength: 9 }), (places) => {
        const cuts = [0, ...places.toSorted((a, b) => a - b), CONTENT.length];
        const pieces = cuts.slice(1).map((end, i) => BYTES(CONTENT.slice(cuts[i], end)));
        expect(readAll(pieces)).toEqual(whole);
      }),
    );
    expect(readAll([...CONTENT].map(BYTES))).toEqual(whole);
  });

  it('any bytes at all, split anywhere, give the same operations and an end', () => {
    const alphabet = fc.constantFrom(
      ...'qQ()<>[]{}/%\\ \n\r09.-+BIDETfnt'.split(''),
      '\x00',
      '\xff',
      'BI ',
      ' ID ',
      ' EI ',
    );
    fc.assert(
      fc.property(fc.array(alphabet, { maxLength: 90 }), fc.nat(90), fc.nat(90), (parts, a, b) => {
        const text = parts.join('');
        const [first, second] = [Math.min(a, b), Math.max(a, b)];
        const pieces = [text.slice(0, first), text.slice(first, second), text.slice(second)].map(BYTES);
        expect(readAll(pieces)).toEqual(readAll([BYTES(text)]));
      }),
      { numRuns: 500 },
    );
  });
});
