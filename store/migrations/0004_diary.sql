-- The truth: sets, check-ins, outcome measures. Only ever added to.
--
-- A correction is a record that names the one it replaces: of the same person, and only one for each. One that is withdrawn says that
-- what it replaces never was. Current is what no other replaces and is not withdrawn.
-- revision is the person's, when the record was kept. digest is of what the writer gave and
-- what the store added: its first part tells a repeat from a conflict, the whole tells what is damaged.

CREATE TABLE diary (
    studio     TEXT NOT NULL,
    record     TEXT NOT NULL,
    person     TEXT NOT NULL,
    day        TEXT NOT NULL,
    at_us      INTEGER,               -- when it ended, by the writer's clock; NULL: from paper
    replaces   TEXT,
    withdrawn  INTEGER NOT NULL CONSTRAINT withdrawn_is_yes_or_no CHECK (withdrawn IN (0, 1)),
    written_by TEXT NOT NULL,         -- an account; it may be gone by now
    device     TEXT,                  -- likewise
    note       TEXT NOT NULL,
    run        TEXT,                  -- the class it was done in
    exercise   TEXT NOT NULL,
    variant    TEXT,                  -- NULL: the usual one
    side       TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('both', 'left', 'right')),
    implement  TEXT,                  -- the label; NULL: body weight
    setting    TEXT,                  -- NULL: the first
    ended      TEXT NOT NULL CONSTRAINT ended_is_known CHECK (ended IN ('failure', 'completed', 'reserve', 'symptom', 'other')),
    seconds    REAL NOT NULL CONSTRAINT seconds_are_none_or_more CHECK (seconds >= 0),
    reserve_s  REAL CONSTRAINT reserve_is_none_or_more CHECK (reserve_s >= 0),
    exertion   REAL CONSTRAINT exertion_is_0_to_10 CHECK (exertion BETWEEN 0 AND 10),
    reengaged  TEXT,                  -- JSON: [[from_s, to_s], ...] after the failure
    revision   INTEGER NOT NULL,
    kept_us    INTEGER NOT NULL,
    digest     TEXT NOT NULL,
    PRIMARY KEY (studio, record),
    UNIQUE (studio, person, record),  -- for the reference below: a correction stays with its person
    CONSTRAINT withdrawn_replaces_something CHECK (withdrawn = 0 OR replaces IS NOT NULL),
    CONSTRAINT replaces_another CHECK (replaces <> record),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE,
    FOREIGN KEY (studio, person, replaces) REFERENCES diary (studio, person, record),
    FOREIGN KEY (studio, run) REFERENCES run (studio, run)
) STRICT;
CREATE UNIQUE INDEX diary_replaced_once ON diary (studio, person, replaces) WHERE replaces IS NOT NULL;
CREATE INDEX diary_by_person ON diary (studio, person, day);
CREATE INDEX diary_by_day ON diary (studio, day);
CREATE INDEX diary_by_run ON diary (studio, run) WHERE run IS NOT NULL;

CREATE TABLE checkin (
    studio           TEXT NOT NULL,
    record           TEXT NOT NULL,
    person           TEXT NOT NULL,
    day              TEXT NOT NULL,
    at_us            INTEGER,
    replaces         TEXT,
    withdrawn        INTEGER NOT NULL CONSTRAINT withdrawn_is_yes_or_no CHECK (withdrawn IN (0, 1)),
    written_by       TEXT NOT NULL,
    device           TEXT,
    note             TEXT NOT NULL,
    room_c           REAL,
    humidity_percent REAL CONSTRAINT humidity_is_a_share CHECK (humidity_percent BETWEEN 0 AND 100),
    heat_index_c     REAL,
    fatigue          REAL CONSTRAINT fatigue_is_0_to_10 CHECK (fatigue BETWEEN 0 AND 10),
    sleep            REAL CONSTRAINT sleep_is_0_to_10 CHECK (sleep BETWEEN 0 AND 10),
    readiness        REAL,            -- ln of the day's short task over the person's usual
    answers          TEXT,            -- JSON: to the questions of safety
    verdict          TEXT CONSTRAINT verdict_is_known CHECK (verdict IN ('go', 'lighter', 'not_today', 'ask_first')),
    revision         INTEGER NOT NULL,
    kept_us          INTEGER NOT NULL,
    digest           TEXT NOT NULL,
    PRIMARY KEY (studio, record),
    UNIQUE (studio, person, record),
    CONSTRAINT withdrawn_replaces_something CHECK (withdrawn = 0 OR replaces IS NOT NULL),
    CONSTRAINT replaces_another CHECK (replaces <> record),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE,
    FOREIGN KEY (studio, person, replaces) REFERENCES checkin (studio, person, record)
) STRICT;
CREATE UNIQUE INDEX checkin_replaced_once ON checkin (studio, person, replaces) WHERE replaces IS NOT NULL;
CREATE INDEX checkin_by_person ON checkin (studio, person, day);
CREATE INDEX checkin_by_day ON checkin (studio, day);

CREATE TABLE outcome (
    studio     TEXT NOT NULL,
    record     TEXT NOT NULL,
    person     TEXT NOT NULL,
    day        TEXT NOT NULL,
    at_us      INTEGER,
    replaces   TEXT,
    withdrawn  INTEGER NOT NULL CONSTRAINT withdrawn_is_yes_or_no CHECK (withdrawn IN (0, 1)),
    written_by TEXT NOT NULL,
    device     TEXT,
    note       TEXT NOT NULL,
    measure    TEXT NOT NULL,         -- "five-times sit-to-stand"
    value      REAL NOT NULL,
    unit       TEXT NOT NULL,         -- UCUM
    side       TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('both', 'left', 'right')),
    practice   INTEGER NOT NULL CONSTRAINT practice_is_yes_or_no CHECK (practice IN (0, 1)), -- a practice try is kept, and not counted
    aid        TEXT,                  -- stick, frame, orthosis
    revision   INTEGER NOT NULL,
    kept_us    INTEGER NOT NULL,
    digest     TEXT NOT NULL,
    PRIMARY KEY (studio, record),
    UNIQUE (studio, person, record),
    CONSTRAINT withdrawn_replaces_something CHECK (withdrawn = 0 OR replaces IS NOT NULL),
    CONSTRAINT replaces_another CHECK (replaces <> record),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE,
    FOREIGN KEY (studio, person, replaces) REFERENCES outcome (studio, person, record)
) STRICT;
CREATE UNIQUE INDEX outcome_replaced_once ON outcome (studio, person, replaces) WHERE replaces IS NOT NULL;
CREATE INDEX outcome_by_person ON outcome (studio, person, day);
CREATE INDEX outcome_by_day ON outcome (studio, day);
