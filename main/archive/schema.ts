/**
 * The tables of the archive's database, step by step. To change them, add a step: a released step is never edited, see
 * test/gates/frozen-formats.test.ts.
 */
export interface SchemaStep {
  /** The value of `user_version` after this step. */
  readonly to: number;
  /** For both databases, in SQLite's SQL; postgres-schema.ts translates it for PostgreSQL. */
  readonly sql: string;
  /** Statements for only one of the databases, run after `sql`. */
  readonly sqlite?: string;
  readonly postgres?: string;
}

const VERSION_1 = `
  -- Which statements made this database; see schemaHash. A vault that has files while the database never kept any is
  -- that of another database.
  CREATE TABLE meta (
    id          INTEGER PRIMARY KEY CHECK (id = 1),
    schema_hash TEXT NOT NULL,
    keeps_files INTEGER NOT NULL DEFAULT 0 CHECK (keeps_files IN (0, 1))
  ) STRICT;

  -- Row numbers grow with each save, so that they order jobs by it.
  CREATE TABLE jobs (
    row_id         INTEGER PRIMARY KEY,
    id             TEXT NOT NULL UNIQUE,
    number         TEXT NOT NULL,
    -- Two numbers with the same are one for people, see jobNumberKey.
    number_key     TEXT NOT NULL UNIQUE,
    name           TEXT NOT NULL,
    customer       TEXT NOT NULL,
    -- Of its first vehicle.
    unit_number    TEXT NOT NULL,
    vehicle_count  INTEGER NOT NULL CHECK (vehicle_count > 0),
    document       TEXT NOT NULL CHECK (json_valid(document)),
    artwork_sha256 TEXT,
    revision       INTEGER NOT NULL,
    -- Whether the last save came from a job file, and not from a window.
    is_from_file   INTEGER NOT NULL CHECK (is_from_file IN (0, 1)),
    created_at     TEXT NOT NULL,
    updated_at     TEXT NOT NULL,
    -- Its number with its figures padded, so that BM-9 comes before BM-10; see jobNumberOrder.
    number_order   TEXT NOT NULL,
    -- Labels of its panels as saved last.
    panel_labels   TEXT NOT NULL CHECK (json_valid(panel_labels)),
    -- How far the job is: worked out from its outputs whenever one of these changes, see refreshProgress.
    progress       TEXT NOT NULL DEFAULT 'planned'
      CHECK (progress IN ('planned', 'written', 'verified', 'printed', 'installed')),
    installed_on   TEXT,
    archived_at    TEXT
  ) STRICT;
  -- Holds all that filters ask for, so that none of them reads the documents; the others hold the orders of the list.
  CREATE INDEX jobs_by_update ON jobs (updated_at DESC, row_id DESC, archived_at, progress, customer);
  CREATE INDEX jobs_by_number ON jobs (number_order);
  CREATE INDEX jobs_by_name ON jobs (name COLLATE NOCASE);
  CREATE INDEX jobs_by_customer ON jobs (customer COLLATE NOCASE);
  CREATE INDEX jobs_by_unit_number ON jobs (unit_number COLLATE NOCASE);

  -- When a job was last opened in a window.
  CREATE TABLE job_openings (
    job_id TEXT PRIMARY KEY REFERENCES jobs (id) ON DELETE RESTRICT,
    at     TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;

  -- Which window has a job open to edit it. A seat is a program; one that has ended holds nothing, see open-jobs.ts.
  CREATE TABLE open_jobs (
    job_id    TEXT PRIMARY KEY,
    seat      TEXT NOT NULL,
    client_id TEXT NOT NULL,
    person    TEXT NOT NULL,
    machine   TEXT NOT NULL,
    since     TEXT NOT NULL,
    asked_by  TEXT
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE outputs (
    id              INTEGER PRIMARY KEY,
    job_id          TEXT NOT NULL REFERENCES jobs (id) ON DELETE RESTRICT,
    -- What people call it: the outputs of each job count from 1.
    number          INTEGER NOT NULL,
    kind            TEXT NOT NULL CHECK (kind IN ('output', 'reprint')),
    reprint_of      INTEGER REFERENCES outputs (id) ON DELETE RESTRICT,
    -- Of a reprint: the vehicle that its panels are for, where the job has several.
    unit_number     TEXT,
    reason          TEXT NOT NULL,
    at              TEXT NOT NULL,
    program_version TEXT NOT NULL,
    document        TEXT NOT NULL CHECK (json_valid(document)),
    artwork_sha256  TEXT NOT NULL,
    folder          TEXT NOT NULL,
    CHECK ((kind = 'reprint') = (reprint_of IS NOT NULL)),
    UNIQUE (job_id, number)
  ) STRICT;

  -- The last number that an output of a job was given: it names a folder before output and job are kept.
  CREATE TABLE output_numbers (
    job_id TEXT PRIMARY KEY,
    last   INTEGER NOT NULL
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE output_files (
    output_id   INTEGER NOT NULL REFERENCES outputs (id) ON DELETE RESTRICT,
    name        TEXT NOT NULL,
    kind        TEXT NOT NULL,
    sha256      TEXT NOT NULL,
    size_bytes  INTEGER NOT NULL,
    panel_id    TEXT,
    panel_label TEXT,
    PRIMARY KEY (output_id, name)
  ) STRICT, WITHOUT ROWID;

  -- An output without a row has not been verified.
  CREATE TABLE verifications (
    output_id   INTEGER PRIMARY KEY REFERENCES outputs (id) ON DELETE RESTRICT,
    state       TEXT NOT NULL CHECK (state IN ('not-verified', 'verified', 'failed')),
    sentences   TEXT NOT NULL CHECK (json_valid(sentences)),
    report      TEXT CHECK (report IS NULL OR json_valid(report))
  ) STRICT;

  -- What an output was really made with, as the operator entered it.
  CREATE TABLE output_records (
    output_id INTEGER PRIMARY KEY REFERENCES outputs (id) ON DELETE RESTRICT,
    record    TEXT NOT NULL CHECK (json_valid(record))
  ) STRICT;

  -- What a job really took, beside the estimate of the day on which it was entered.
  CREATE TABLE job_actuals (
    job_id     TEXT PRIMARY KEY REFERENCES jobs (id) ON DELETE RESTRICT,
    content    TEXT NOT NULL CHECK (json_valid(content)),
    entered_on TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;

  -- What a corrected artwork changes on the panels of a job, against the one that it had.
  CREATE TABLE artwork_comparisons (
    job_id        TEXT NOT NULL REFERENCES jobs (id) ON DELETE RESTRICT,
    before_sha256 TEXT NOT NULL,
    after_sha256  TEXT NOT NULL,
    content       TEXT NOT NULL CHECK (json_valid(content)),
    at            TEXT NOT NULL,
    PRIMARY KEY (job_id, before_sha256, after_sha256)
  ) STRICT, WITHOUT ROWID;

  -- What the shop noted at a panel. The label is that of the day: a note outlives a panel that a new layout has no more.
  CREATE TABLE panel_notes (
    id          TEXT PRIMARY KEY,
    job_id      TEXT NOT NULL REFERENCES jobs (id) ON DELETE RESTRICT,
    panel_id    TEXT NOT NULL,
    panel_label TEXT NOT NULL,
    -- Of a fleet: the vehicle whose panel it is.
    unit_number TEXT,
    text        TEXT NOT NULL,
    written_by  TEXT NOT NULL,
    at          TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;
  CREATE INDEX panel_notes_by_job ON panel_notes (job_id, at);

  CREATE TABLE note_photos (
    note_id    TEXT NOT NULL REFERENCES panel_notes (id) ON DELETE RESTRICT,
    place      INTEGER NOT NULL,
    sha256     TEXT NOT NULL,
    file_name  TEXT NOT NULL,
    media_type TEXT NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png', 'image/webp')),
    width_px   INTEGER NOT NULL,
    height_px  INTEGER NOT NULL,
    size_bytes INTEGER NOT NULL,
    PRIMARY KEY (note_id, place)
  ) STRICT, WITHOUT ROWID;

  -- The shop's profile and what else it keeps for its next job, of any kind that the program knows.
  CREATE TABLE shop_items (
    kind    TEXT NOT NULL CHECK (kind <> ''),
    id      TEXT NOT NULL,
    content TEXT NOT NULL CHECK (json_valid(content)),
    kept_at TEXT NOT NULL,
    -- How often it was kept; a window that knows an earlier one is told.
    revision INTEGER NOT NULL,
    PRIMARY KEY (kind, id)
  ) STRICT;

  -- Rolls of film and laminate. The shop's own number stands on the label of a roll.
  CREATE TABLE stock_rolls (
    number       INTEGER PRIMARY KEY AUTOINCREMENT,
    id           TEXT NOT NULL UNIQUE,
    use          TEXT NOT NULL CHECK (use IN ('film', 'laminate', 'perforated-film')),
    material     TEXT NOT NULL,
    -- Two names of a material with the same are one, see materialKey.
    material_key TEXT NOT NULL,
    lot_number   TEXT NOT NULL,
    roll_number  TEXT NOT NULL,
    width_mm     REAL NOT NULL,
    place        TEXT NOT NULL,
    received_on  TEXT NOT NULL,
    use_by       TEXT,
    UNIQUE (use, material_key, lot_number, roll_number)
  ) STRICT;

  -- What came onto rolls and went off them, in whole micrometers, so that the sum is exact in any order. It outlives the
  -- jobs that it names.
  CREATE TABLE stock_movements (
    id            INTEGER PRIMARY KEY,
    roll_id       TEXT NOT NULL REFERENCES stock_rolls (id) ON DELETE RESTRICT,
    kind          TEXT NOT NULL
      CHECK (kind IN ('received', 'printed', 'laminated', 'corrected', 'scrapped', 'changed', 'undone')),
    delta_um      INTEGER NOT NULL,
    at            TEXT NOT NULL,
    by            TEXT NOT NULL,
    note          TEXT NOT NULL,
    job_id        TEXT,
    job_number    TEXT,
    output_number INTEGER,
    printing      INTEGER,
    panel_labels  TEXT CHECK (panel_labels IS NULL OR json_valid(panel_labels)),
    -- A movement is undone once.
    undoes        INTEGER UNIQUE REFERENCES stock_movements (id) ON DELETE RESTRICT,
    CHECK ((kind = 'undone') = (undoes IS NOT NULL))
  ) STRICT;
  CREATE INDEX stock_movements_by_roll ON stock_movements (roll_id, id);
  CREATE INDEX stock_movements_by_output ON stock_movements (job_id, output_number);
`;

const SQLITE_1 = `
  -- The words of each job under its row number, read from the newest on: a search stops at the jobs that are shown,
  -- however many others match.
  CREATE VIRTUAL TABLE job_words USING fts5 (
    words, content = '', contentless_delete = 1, detail = none,
    tokenize = "unicode61 remove_diacritics 2", prefix = '1 2 3 4 5 6 7 8'
  );
  CREATE TRIGGER stock_movements_stay BEFORE UPDATE ON stock_movements
    BEGIN SELECT RAISE(ABORT, 'a movement of a roll is never changed'); END;
  CREATE TRIGGER stock_movements_remain BEFORE DELETE ON stock_movements
    BEGIN SELECT RAISE(ABORT, 'a movement of a roll is never removed'); END;
`;

const POSTGRES_1 = `
  -- The words of each job as SQLite's index takes them apart, so that both find the same jobs; see search.ts.
  CREATE TABLE job_words (
    rowid BIGINT PRIMARY KEY,
    words tsvector NOT NULL
  );
  CREATE INDEX job_words_by_word ON job_words USING gin (words);
  CREATE FUNCTION stock_movement_refused() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION 'a movement of a roll is never %', TG_ARGV[0]; END $$;
  CREATE TRIGGER stock_movements_stay BEFORE UPDATE ON stock_movements
    FOR EACH ROW EXECUTE FUNCTION stock_movement_refused('changed');
  CREATE TRIGGER stock_movements_remain BEFORE DELETE ON stock_movements
    FOR EACH ROW EXECUTE FUNCTION stock_movement_refused('removed');
`;

export const SCHEMA: readonly SchemaStep[] = [
  { to: 1, sql: VERSION_1, sqlite: SQLITE_1, postgres: POSTGRES_1 },
];

/** The statements of a step for SQLite. */
export const sqliteStatements = ({ sql, sqlite = '' }: SchemaStep): string => sql + sqlite;
