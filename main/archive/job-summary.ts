/** The columns under the names of a JobSummary's fields. The database enforces their types, so a row is a summary. */
export const SUMMARY = `jobs.id, number, name, customer, unit_number AS "unitNumber", vehicle_count AS "vehicleCount",
  revision, created_at AS "createdAt", updated_at AS "updatedAt",
  (SELECT count(*) FROM outputs WHERE job_id = jobs.id) AS "outputCount", progress, installed_on AS "installedOn",
  archived_at AS "archivedAt"`;
