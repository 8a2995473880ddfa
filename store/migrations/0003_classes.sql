-- Classes, their runs, and weeks laid out.

-- Never changed: another plan is another version. The latest one holds, and is off the list if retired.
CREATE TABLE class (
    studio     TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    class      TEXT NOT NULL,
    version    INTEGER NOT NULL,
    called     TEXT NOT NULL,
    minutes    REAL NOT NULL CONSTRAINT minutes_are_some CHECK (minutes >= 0),
    plan       TEXT NOT NULL,         -- JSON
    retired    INTEGER NOT NULL CONSTRAINT retired_is_yes_or_no CHECK (retired IN (0, 1)),
    made_us    INTEGER NOT NULL,
    written_by TEXT NOT NULL,
    PRIMARY KEY (studio, class, version)
) STRICT;

-- A class held once: a plan and a short log.
CREATE TABLE run (
    studio       TEXT NOT NULL,
    run          TEXT NOT NULL,
    class        TEXT NOT NULL,
    version      INTEGER NOT NULL,
    planned_us   INTEGER NOT NULL,
    code         TEXT,                -- to join by, for a while
    code_ends_us INTEGER,
    note         TEXT NOT NULL,
    made_us      INTEGER NOT NULL,
    written_by   TEXT NOT NULL,
    PRIMARY KEY (studio, run),
    FOREIGN KEY (studio, class, version) REFERENCES class (studio, class, version)
) STRICT;
CREATE INDEX run_by_time ON run (studio, planned_us);
CREATE INDEX run_by_code ON run (studio, code);
CREATE INDEX run_by_class ON run (studio, class, version);

-- Who takes part, and with which loads.
CREATE TABLE run_person (
    studio    TEXT NOT NULL,
    run       TEXT NOT NULL,
    person    TEXT NOT NULL,
    fit       TEXT,                   -- JSON
    joined_us INTEGER,
    PRIMARY KEY (studio, run, person),
    FOREIGN KEY (studio, run) REFERENCES run (studio, run) ON DELETE CASCADE,
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX run_person_by_person ON run_person (studio, person);

-- Start, pause, go on, longer rest, skip, stop: only added to. place counts within the run from 1, as events came in.
CREATE TABLE run_event (
    studio     TEXT NOT NULL,
    run        TEXT NOT NULL,
    event      TEXT NOT NULL,
    at_us      INTEGER NOT NULL,
    kind       TEXT NOT NULL,
    detail     TEXT,                  -- JSON
    written_by TEXT NOT NULL,
    place      INTEGER NOT NULL,
    kept_us    INTEGER NOT NULL,
    digest     TEXT NOT NULL,
    PRIMARY KEY (studio, run, event),
    UNIQUE (studio, run, place),
    FOREIGN KEY (studio, run) REFERENCES run (studio, run) ON DELETE CASCADE
) STRICT;

-- A person's weeks, by version as classes are.
CREATE TABLE block (
    studio     TEXT NOT NULL,
    block      TEXT NOT NULL,
    version    INTEGER NOT NULL,
    person     TEXT NOT NULL,
    called     TEXT NOT NULL,
    from_day   TEXT NOT NULL,
    until_day  TEXT NOT NULL,
    plan       TEXT NOT NULL,         -- JSON
    retired    INTEGER NOT NULL CONSTRAINT retired_is_yes_or_no CHECK (retired IN (0, 1)),
    made_us    INTEGER NOT NULL,
    written_by TEXT NOT NULL,
    PRIMARY KEY (studio, block, version),
    CONSTRAINT block_ends_after_it_begins CHECK (from_day <= until_day),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX block_by_person ON block (studio, person);
