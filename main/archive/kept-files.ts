import { present } from '../../core/measure/present.ts';
import type { KeptFile } from './port.ts';
import type { Dialect, Sql } from './sql.ts';

/** Every file that a job or an output refers to, once each. */
export const keptFiles = (sql: Sql): Promise<KeptFile[]> => sql.all<KeptFile>(statementOf(sql.dialect));

const statementOf = ({ each, text }: Dialect): string => {
  const side = (path: string): string => text('side.value', path);
  const panel = (path: string): string => text('panel.value', path);
  return `SELECT sha256, min(name) AS name FROM (
    SELECT sha256, name FROM output_files
    UNION ALL SELECT artwork_sha256, 'artwork of job ' || number FROM jobs WHERE artwork_sha256 IS NOT NULL
    UNION ALL SELECT outputs.artwork_sha256, 'artwork of Output ' || outputs.number || ' of job ' || jobs.number
      FROM outputs JOIN jobs ON jobs.id = outputs.job_id
    UNION ALL SELECT after_sha256, 'corrected artwork of job ' || number
      FROM artwork_comparisons JOIN jobs ON jobs.id = job_id
    UNION ALL SELECT before_sha256, 'earlier artwork of job ' || number
      FROM artwork_comparisons JOIN jobs ON jobs.id = job_id
    UNION ALL SELECT sha256, 'photo ' || file_name || ' of ' || panel_label || ' of job ' || number
      FROM note_photos JOIN panel_notes ON panel_notes.id = note_id JOIN jobs ON jobs.id = job_id
    UNION ALL SELECT ${side('photo.sha256')}, 'photo ' || (${side('photo.fileName')}) || ' of side ' || (${side('code')}) || ' of job ' || number
      FROM (SELECT number, document FROM jobs WHERE document LIKE '%"photo":%') AS photographed, ${each('document', 'sides', 'side')}
      WHERE ${side('photo.sha256')} IS NOT NULL
    UNION ALL SELECT ${side('template.file.sha256')}, 'template ' || (${side('template.file.fileName')}) || ' of side ' || (${side('code')}) || ' of job ' || number
      FROM (SELECT number, document FROM jobs WHERE document LIKE '%"template":%') AS drawn, ${each('document', 'sides', 'side')}
      WHERE ${side('template.file.sha256')} IS NOT NULL
    UNION ALL SELECT ${panel('differencePictureSha256')},
        'verification of ' || (${panel('label')}) || ' in Output ' || outputs.number || ' of job ' || jobs.number
      FROM verifications JOIN outputs ON outputs.id = output_id JOIN jobs ON jobs.id = job_id, ${each('report', 'sides', 'side')}, ${each('side.value', 'panels', 'panel')}
      WHERE ${panel('differencePictureSha256')} IS NOT NULL
  ) AS kept GROUP BY sha256 ORDER BY sha256`;
};

export const jobCount = async (sql: Sql): Promise<number> =>
  present(await sql.first<{ n: number }>('SELECT count(*) AS n FROM jobs'), 'The row that a statement gives')
    .n;
