/**
 * The shape of the archive's database, as steps that are only ever added to. Step n brings a database from
 * user_version n - 1 to n; a released step is never edited.
 */
export const MIGRATIONS: readonly string[] = [
  /* 1: jobs with full-text search, outputs and their files */ `
  CREATE TABLE jobs (
    row_id         INTEGER PRIMARY KEY,
    id             TEXT NOT NULL UNIQUE,
    number         TEXT NOT NULL,
    name           TEXT NOT NULL,
    customer       TEXT NOT NULL,
    unit_name      TEXT NOT NULL,
    document       TEXT NOT NULL CHECK (json_valid(document)),
    artwork_sha256 TEXT,
    revision       INTEGER NOT NULL,
    created_at     TEXT NOT NULL,
    updated_at     TEXT NOT NULL
  ) STRICT;
  CREATE INDEX jobs_by_update ON jobs (updated_at DESC, row_id DESC);
  CREATE INDEX jobs_by_number ON jobs (number);

  CREATE VIRTUAL TABLE job_text USING fts5 (
    number, name, customer, unit_name, notes, panel_labels,
    tokenize = "unicode61 remove_diacritics 2", prefix = '1 2 3'
  );

  CREATE TABLE runs (
    id              INTEGER PRIMARY KEY,
    job_id          TEXT NOT NULL REFERENCES jobs (id) ON DELETE RESTRICT,
    kind            TEXT NOT NULL CHECK (kind IN ('output', 'reprint')),
    reprint_of      INTEGER REFERENCES runs (id) ON DELETE RESTRICT,
    reason          TEXT NOT NULL,
    at              TEXT NOT NULL,
    program_version TEXT NOT NULL,
    document        TEXT NOT NULL CHECK (json_valid(document)),
    artwork_sha256  TEXT NOT NULL,
    folder          TEXT NOT NULL,
    CHECK ((kind = 'reprint') = (reprint_of IS NOT NULL))
  ) STRICT;
  CREATE INDEX runs_by_job ON runs (job_id, id);

  CREATE TABLE run_files (
    run_id      INTEGER NOT NULL REFERENCES runs (id) ON DELETE RESTRICT,
    name        TEXT NOT NULL,
    kind        TEXT NOT NULL,
    sha256      TEXT NOT NULL,
    size_bytes  INTEGER NOT NULL,
    panel_id    TEXT,
    panel_label TEXT,
    PRIMARY KEY (run_id, name)
  ) STRICT, WITHOUT ROWID;
  `,
  /* 2: what the verification of a run found; a run without a row was not verified */ `
  CREATE TABLE run_verifications (
    run_id      INTEGER PRIMARY KEY REFERENCES runs (id) ON DELETE RESTRICT,
    state       TEXT NOT NULL CHECK (state IN ('not-verified', 'verified', 'failed')),
    is_released INTEGER NOT NULL GENERATED ALWAYS AS (state = 'verified') VIRTUAL,
    sentences   TEXT NOT NULL CHECK (json_valid(sentences)),
    report      TEXT CHECK (report IS NULL OR json_valid(report))
  ) STRICT;
  `,
  /* 3: row numbers that grow with each save, and a word index that is read in their order, newest first: a search
     stops at the jobs that are shown, however many others match */ `
  CREATE TABLE renumbered AS
    SELECT row_id AS old, row_number() OVER (ORDER BY updated_at, row_id) AS new FROM jobs;
  CREATE UNIQUE INDEX renumbered_by_old ON renumbered (old);
  CREATE VIRTUAL TABLE job_words USING fts5 (
    words, content = '', contentless_delete = 1, detail = none,
    tokenize = "unicode61 remove_diacritics 2", prefix = '1 2 3 4 5 6 7 8'
  );
  INSERT INTO job_words (rowid, words)
    SELECT new, concat_ws(char(10), number, name, customer, unit_name, notes, panel_labels)
    FROM renumbered JOIN job_text ON job_text.rowid = old ORDER BY new;
  UPDATE jobs SET row_id = -(SELECT new FROM renumbered WHERE old = row_id);
  UPDATE jobs SET row_id = -row_id;
  DROP TABLE job_text;
  DROP TABLE renumbered;
  `,
  /* 4: what the shop keeps for its next job, by kind: patterns of vehicles, films and laminates */ `
  CREATE TABLE shop_items (
    kind    TEXT NOT NULL CHECK (kind IN ('pattern', 'material')),
    id      TEXT NOT NULL,
    content TEXT NOT NULL CHECK (json_valid(content)),
    kept_at TEXT NOT NULL,
    PRIMARY KEY (kind, id)
  ) STRICT;
  `,
  /* 5: roll plans that jobs share lie with what the shop keeps */ `
  CREATE TABLE kept_items (
    kind    TEXT NOT NULL CHECK (kind IN ('pattern', 'material', 'shared-rolls')),
    id      TEXT NOT NULL,
    content TEXT NOT NULL CHECK (json_valid(content)),
    kept_at TEXT NOT NULL,
    PRIMARY KEY (kind, id)
  ) STRICT;
  INSERT INTO kept_items SELECT kind, id, content, kept_at FROM shop_items;
  DROP TABLE shop_items;
  ALTER TABLE kept_items RENAME TO shop_items;
  `,
  /* 6: of any kind that the program knows: a new kind, such as the shop's limits of the artwork, needs no step of its own */ `
  CREATE TABLE kept_items (
    kind    TEXT NOT NULL CHECK (kind <> ''),
    id      TEXT NOT NULL,
    content TEXT NOT NULL CHECK (json_valid(content)),
    kept_at TEXT NOT NULL,
    PRIMARY KEY (kind, id)
  ) STRICT;
  INSERT INTO kept_items SELECT kind, id, content, kept_at FROM shop_items;
  DROP TABLE shop_items;
  ALTER TABLE kept_items RENAME TO shop_items;
  `,
];
