/** The tables of the schema with their keys, in an order in which each comes after those that it refers to. */
import { SCHEMA } from './schema.ts';

export interface Table {
  readonly name: string;
  readonly key: readonly string[];
}

/** All but `meta`, which says what a database is, and the index of words, which each makes of the jobs. */
export function schemaTables(sql = SCHEMA.map((step) => step.sql).join('\n')): Table[] {
  return [...sql.matchAll(/CREATE TABLE (\w+) \((.*?)\n {2}\)/gs)]
    .map(([, name, columns]) => ({ name: name!, key: keyOf(columns!) }))
    .filter(({ name }) => name !== 'meta');
}

function keyOf(columns: string): string[] {
  const several = /PRIMARY KEY \(([^)]*)\)/.exec(columns)?.[1];
  if (several !== undefined) return several.split(',').map((column) => column.trim());
  return [/(\w+)\s+\w+ PRIMARY KEY/.exec(columns)![1]!];
}
