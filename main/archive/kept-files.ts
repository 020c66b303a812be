import type Database from 'better-sqlite3';
import type { KeptFile } from './port.ts';

/** Every file that a job or an output names, once each. */
export const keptFiles = (db: Database.Database): KeptFile[] =>
  db
    .prepare<[], KeptFile>(
      `SELECT sha256, min(name) AS name FROM (
         SELECT sha256, name FROM output_files
         UNION ALL SELECT artwork_sha256, 'artwork of job ' || number FROM jobs WHERE artwork_sha256 IS NOT NULL
         UNION ALL SELECT outputs.artwork_sha256, 'artwork of Output ' || outputs.number || ' of job ' || jobs.number
           FROM outputs JOIN jobs ON jobs.id = outputs.job_id
         UNION ALL SELECT sha256, 'photo ' || file_name || ' of ' || panel_label || ' of job ' || number
           FROM note_photos JOIN panel_notes ON panel_notes.id = note_id JOIN jobs ON jobs.id = job_id
         UNION ALL SELECT side.value ->> '$.photo.sha256', 'photo ' || (side.value ->> '$.photo.fileName') || ' of side ' || (side.value ->> 'code') || ' of job ' || number
           FROM (SELECT number, document FROM jobs WHERE instr(document, '"photo":') > 0), json_each(document, '$.sides') AS side
           WHERE side.value ->> '$.photo.sha256' IS NOT NULL
         UNION ALL SELECT side.value ->> '$.template.file.sha256', 'template ' || (side.value ->> '$.template.file.fileName') || ' of side ' || (side.value ->> 'code') || ' of job ' || number
           FROM (SELECT number, document FROM jobs WHERE instr(document, '"template":') > 0), json_each(document, '$.sides') AS side
           WHERE side.value ->> '$.template.file.sha256' IS NOT NULL
         UNION ALL SELECT panel.value ->> 'differencePictureSha256',
             'verification of ' || (panel.value ->> 'label') || ' in Output ' || outputs.number || ' of job ' || jobs.number
           FROM verifications JOIN outputs ON outputs.id = output_id JOIN jobs ON jobs.id = job_id, json_each(report, '$.sides') AS side, json_each(side.value, '$.panels') AS panel
           WHERE panel.value ->> 'differencePictureSha256' IS NOT NULL
       ) GROUP BY sha256 ORDER BY sha256`,
    )
    .all();

export const jobCount = (db: Database.Database): number =>
  db.prepare<[], { n: number }>('SELECT count(*) AS n FROM jobs').get()!.n;
