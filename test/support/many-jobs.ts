import Database from 'better-sqlite3';
import { jobToJson } from '../../core/job/job-json.ts';
import { jobNumberKey, jobNumberOrder } from '../../core/job/job-number.ts';
import { randomFrom } from './random.ts';
import { smallJob } from './small-job.ts';

const CUSTOMERS = ['Alder County Library', 'Bibliothèque d’Aulne', 'Elm Valley Schools', 'Harbor Parks'];
const UNITS = ['Bookmobile', 'Outreach trailer', 'Box body', 'Step van', 'Panel van'];
const WORDS = [
  'rear',
  'ladder',
  'camera',
  'reflective',
  'window',
  'night',
  'urgent',
  'reprint',
  'sensor',
  'hinge',
];
/**
 * Jobs BM-1, BM-2 and so on, the last one newest, three in ten with an output. Written with plain inserts: saving a hundred
 * thousand one by one would take an hour of syncs.
 */
export function addManyJobs(path: string, jobs: number): void {
  const db = new Database(path);
  const random = randomFrom(71);
  const pick = (from: readonly string[]) => from[Math.floor(random() * from.length)]!;
  const base = smallJob();
  const job = db.prepare(
    `INSERT INTO jobs (row_id, id, number, number_key, name, customer, unit_number, vehicle_count, document, revision, is_from_file,
       created_at, updated_at, number_order, panel_labels)
     VALUES (?, ?, ?, ?, ?, ?, ?, 1, ?, 1, 0, ?, ?, ?, '[]')`,
  );
  const text = db.prepare('INSERT INTO job_words (rowid, words) VALUES (?, ?)');
  const outputs = db.prepare(
    `INSERT INTO outputs (job_id, number, kind, reason, at, program_version, document, artwork_sha256, folder)
     VALUES (?, 1, 'output', '', ?, '0.1.0', '{}', ?, 'out')`,
  );
  db.transaction(() => {
    for (let n = 1; n <= jobs; n++) {
      const [customer, unit] = [pick(CUSTOMERS), pick(UNITS)];
      const notes = Array.from({ length: 8 }, () => pick(WORDS)).join(' ');
      const labels = Array.from({ length: 12 }, (_, i) => `LH-${String(i + 1).padStart(2, '0')}`).join(' ');
      const at = new Date(Date.UTC(2016, 0, 1) + Math.floor(random() * 3.4e11)).toISOString();
      const one = {
        ...base,
        id: `id-${n}`,
        number: `BM-${n}`,
        name: `${unit} state ${n % 97}`,
        customer,
        notes,
      };
      job.run(
        n,
        one.id,
        one.number,
        jobNumberKey(one.number),
        one.name,
        customer,
        unit,
        jobToJson(one),
        at,
        at,
        jobNumberOrder(one.number),
      );
      text.run(n, [one.number, one.name, customer, unit, notes, labels].join('\n'));
      if (n % 10 < 3) outputs.run(one.id, at, 'a'.repeat(64));
    }
  })();
  db.close();
}
