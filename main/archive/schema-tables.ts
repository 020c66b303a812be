/** The tables of the schema with their keys; each comes after the tables that it refers to. */

import { itemAt, present } from '../../core/measure/present.ts';
import { SCHEMA } from './schema.ts';

export interface Table {
  readonly name: string;
  readonly key: readonly string[];
}

/** Tables about the database itself or about running programs. The index of words is derived from the jobs. */
const OWN = ['meta', 'open_jobs'];

/** All tables with data that people have entered. */
export function schemaTables(sql = SCHEMA.map((step) => step.sql).join('\n')): Table[] {
  return [...sql.matchAll(/CREATE TABLE (\w+) \((.*?)\n {2}\)/gs)]
    .map(([, name, columns]) => ({
      name: present(name, 'The name of a table'),
      key: keyOf(present(columns, 'The columns of a table')),
    }))
    .filter(({ name }) => !OWN.includes(name));
}

function keyOf(columns: string): string[] {
  const several = /PRIMARY KEY \(([^)]*)\)/.exec(columns)?.[1];
  if (several !== undefined) return several.split(',').map((column) => column.trim());
  return [itemAt(present(/(\w+)\s+\w+ PRIMARY KEY/.exec(columns), 'The key of a table'), 1)];
}
