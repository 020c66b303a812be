/** The columns as a JobSummary names them: the database holds them to their types, so that a row is one. */
export const SUMMARY = `jobs.id, number, name, customer, unit_number AS "unitNumber", vehicle_count AS "vehicleCount",
  revision, created_at AS "createdAt", updated_at AS "updatedAt",
  (SELECT count(*) FROM outputs WHERE job_id = jobs.id) AS "outputCount", progress, installed_on AS "installedOn",
  archived_at AS "archivedAt"`;
