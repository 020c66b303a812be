interface OutputKind {
  readonly kind: 'output' | 'reprint';
  readonly reprintOf?: number | undefined;
  readonly unitNumber?: string | undefined;
}

/** `reprint of Output 7 for BM-07`; empty for an output that is not a reprint. */
export function reprintWords({ kind, reprintOf, unitNumber }: OutputKind): string {
  if (kind !== 'reprint') return '';
  return `reprint of Output ${reprintOf}${unitNumber === undefined ? '' : ` for ${unitNumber}`}`;
}
