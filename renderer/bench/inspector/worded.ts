/** Options of a field, named by their own values. */
export const worded = <T extends string>(values: readonly T[]) =>
  values.map((value) => ({ value, label: value.charAt(0).toUpperCase() + value.slice(1).replace('-', ' ') }));
