-- What was advised and what became of it; what is estimated; who looked.

CREATE TABLE advice (
    studio    TEXT NOT NULL,
    advice    TEXT NOT NULL,
    person    TEXT NOT NULL,
    day       TEXT NOT NULL,
    exercise  TEXT NOT NULL,
    variant   TEXT,
    side      TEXT NOT NULL CONSTRAINT side_is_known CHECK (side IN ('both', 'left', 'right')),
    implement TEXT,
    setting   TEXT,
    label     TEXT NOT NULL,          -- of the rung, in words
    demand    REAL NOT NULL,
    p_floor   REAL NOT NULL,          -- the odds as they were told beforehand
    p_early   REAL NOT NULL,
    p_window  REAL NOT NULL,
    p_beyond  REAL NOT NULL,
    p10_s     REAL NOT NULL,
    p50_s     REAL NOT NULL,
    p90_s     REAL NOT NULL,          -- may be infinite
    goal_s    REAL NOT NULL,
    reason    TEXT NOT NULL,          -- its code
    engine    TEXT NOT NULL,          -- version
    made_us   INTEGER NOT NULL,
    became    TEXT NOT NULL CONSTRAINT became_is_known CHECK (became IN ('open', 'taken', 'overridden', 'lapsed')),
    became_us INTEGER,
    record    TEXT,                   -- the set that was done
    PRIMARY KEY (studio, advice),
    CONSTRAINT odds_are_shares CHECK (p_floor BETWEEN 0 AND 1 AND p_early BETWEEN 0 AND 1 AND p_window BETWEEN 0 AND 1
        AND p_beyond BETWEEN 0 AND 1),
    CONSTRAINT taken_names_its_set CHECK (became <> 'taken' OR record IS NOT NULL),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE,
    FOREIGN KEY (studio, person, record) REFERENCES diary (studio, person, record)
) STRICT;
CREATE INDEX advice_by_person ON advice (studio, person, day);
CREATE INDEX advice_by_record ON advice (studio, person, record) WHERE record IS NOT NULL;
CREATE INDEX advice_by_fate ON advice (studio, became, day);

-- What the coach chose instead, and why.
CREATE TABLE override_reason (
    studio     TEXT NOT NULL,
    override   TEXT NOT NULL,
    advice     TEXT NOT NULL,
    person     TEXT NOT NULL,
    variant    TEXT,
    implement  TEXT,
    setting    TEXT,
    label      TEXT NOT NULL,
    demand     REAL,
    reason     TEXT NOT NULL,
    made_us    INTEGER NOT NULL,
    written_by TEXT NOT NULL,
    PRIMARY KEY (studio, override),
    FOREIGN KEY (studio, advice) REFERENCES advice (studio, advice) ON DELETE CASCADE,
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX override_reason_by_advice ON override_reason (studio, advice);
CREATE INDEX override_reason_by_person ON override_reason (studio, person);

-- A cache: can be dropped whole, and made again from the diary. It holds if revision is still the person's, and engine ours.
CREATE TABLE belief (
    studio    TEXT NOT NULL,
    person    TEXT NOT NULL,
    engine    TEXT NOT NULL,
    revision  INTEGER NOT NULL,
    made_us   INTEGER NOT NULL,
    posterior BLOB NOT NULL,
    PRIMARY KEY (studio, person),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;

-- Who did what to whose records: only added to.
CREATE TABLE access_log (
    studio  TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    entry   TEXT NOT NULL,
    at_us   INTEGER NOT NULL,
    account TEXT,                     -- may be gone by now; NULL: nobody who is known
    person  TEXT,
    action  TEXT NOT NULL,
    what    TEXT NOT NULL,
    PRIMARY KEY (studio, entry),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX access_log_by_person ON access_log (studio, person, at_us);
CREATE INDEX access_log_by_time ON access_log (studio, at_us);
