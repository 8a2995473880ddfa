-- A studio, who may come in, and who trains.
-- Identifiers are texts made by the writer. _us: microseconds since 1970-01-01T00:00:00Z. _day: RFC 3339 full-date. Numbers are SI.

CREATE TABLE studio (
    studio   TEXT NOT NULL PRIMARY KEY,
    called   TEXT NOT NULL,
    zone     TEXT NOT NULL,           -- of the tz database
    language TEXT NOT NULL,           -- BCP 47
    made_us  INTEGER NOT NULL
) STRICT;

-- What a coach has set otherwise than the program would: a limit of heat, a window.
CREATE TABLE studio_setting (
    studio  TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    setting TEXT NOT NULL,
    value   TEXT NOT NULL,
    PRIMARY KEY (studio, setting)
) STRICT;

-- Whatever hangs on a person goes with the person: every table with a column `person` refers here and cascades (a test looks).
-- revision grows by one with everything that is written of the person that an estimate may rest on.
CREATE TABLE person (
    studio         TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    person         TEXT NOT NULL,
    called         TEXT NOT NULL,
    sex            TEXT CONSTRAINT sex_is_known CHECK (sex IN ('female', 'male')),
    birth_year     INTEGER NOT NULL CONSTRAINT birth_year_is_a_year CHECK (birth_year = 0 OR birth_year BETWEEN 1850 AND 2200), -- 0: unknown
    height_m       REAL CONSTRAINT height_is_human CHECK (height_m BETWEEN 0.5 AND 2.5),
    mass_kg        REAL CONSTRAINT mass_is_human CHECK (mass_kg BETWEEN 15 AND 350),
    condition      TEXT,
    endpoint       TEXT CONSTRAINT endpoint_is_known CHECK (endpoint IN ('failure', 'reserve')),
    weaker_side    TEXT CONSTRAINT weaker_side_is_a_side CHECK (weaker_side IN ('left', 'right')),
    heat_sensitive INTEGER NOT NULL CONSTRAINT heat_sensitive_is_yes_or_no CHECK (heat_sensitive IN (0, 1)),
    note           TEXT NOT NULL,
    since_day      TEXT,              -- trains here since
    left_day       TEXT,              -- and until
    made_us        INTEGER NOT NULL,
    changed_us     INTEGER NOT NULL,
    revision       INTEGER NOT NULL,
    PRIMARY KEY (studio, person)
) STRICT;

-- Ordered lists of identifiers from the catalogue.
CREATE TABLE person_list (
    studio TEXT NOT NULL,
    person TEXT NOT NULL,
    list   TEXT NOT NULL CONSTRAINT list_is_known CHECK (list IN ('goal', 'exercise', 'caution')),
    place  INTEGER NOT NULL,
    what   TEXT NOT NULL,
    PRIMARY KEY (studio, person, list, what),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;

-- Movements and positions that are off limits.
CREATE TABLE person_limit (
    studio    TEXT NOT NULL,
    person    TEXT NOT NULL,
    kind      TEXT NOT NULL CONSTRAINT kind_is_known CHECK (kind IN ('movement', 'position')),
    what      TEXT NOT NULL,
    reason    TEXT NOT NULL,
    until_day TEXT,                   -- NULL: until somebody lifts it
    PRIMARY KEY (studio, person, kind, what),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;

-- Every answer ever given; the latest one holds.
CREATE TABLE screening_answer (
    studio      TEXT NOT NULL,
    person      TEXT NOT NULL,
    question    TEXT NOT NULL,
    answered_us INTEGER NOT NULL,
    answer      TEXT NOT NULL,
    note        TEXT NOT NULL,
    written_by  TEXT NOT NULL,        -- an account; it may be gone by now
    PRIMARY KEY (studio, person, question, answered_us),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;

CREATE TABLE account (
    studio        TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    account       TEXT NOT NULL,
    login         TEXT NOT NULL,
    password_hash TEXT,               -- Argon2id, as the library writes it; NULL: cannot log in by password
    role          TEXT NOT NULL CONSTRAINT role_is_known CHECK (role IN ('coach', 'assistant', 'participant', 'helper', 'clinician')),
    called        TEXT NOT NULL,
    person        TEXT,               -- who a participant's account is of
    made_us       INTEGER NOT NULL,
    closed_us     INTEGER,
    PRIMARY KEY (studio, account),
    UNIQUE (studio, login),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX account_by_person ON account (studio, person);

-- Whom a helper or a clinician may see, and until when.
CREATE TABLE account_person (
    studio    TEXT NOT NULL,
    account   TEXT NOT NULL,
    person    TEXT NOT NULL,
    until_day TEXT,
    PRIMARY KEY (studio, account, person),
    FOREIGN KEY (studio, account) REFERENCES account (studio, account) ON DELETE CASCADE,
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX account_person_by_person ON account_person (studio, person);

-- A link that works once. Kept as its digest, so that whoever reads the file cannot use it.
CREATE TABLE invitation (
    studio     TEXT NOT NULL,
    invitation TEXT NOT NULL,
    account    TEXT NOT NULL,
    made_us    INTEGER NOT NULL,
    ends_us    INTEGER NOT NULL,
    used_us    INTEGER,
    PRIMARY KEY (studio, invitation),
    FOREIGN KEY (studio, account) REFERENCES account (studio, account) ON DELETE CASCADE
) STRICT;
CREATE INDEX invitation_by_account ON invitation (studio, account);

-- A phone or a browser.
CREATE TABLE device (
    studio  TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    device  TEXT NOT NULL,
    account TEXT,
    person  TEXT,                     -- who joined with it, with or without an account
    called  TEXT NOT NULL,
    made_us INTEGER NOT NULL,
    seen_us INTEGER NOT NULL,
    PRIMARY KEY (studio, device),
    FOREIGN KEY (studio, account) REFERENCES account (studio, account) ON DELETE CASCADE,
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX device_by_account ON device (studio, account);
CREATE INDEX device_by_person ON device (studio, person);

-- Kept as the digest of its token.
CREATE TABLE session (
    studio  TEXT NOT NULL,
    session TEXT NOT NULL,
    account TEXT NOT NULL,
    device  TEXT,
    made_us INTEGER NOT NULL,
    seen_us INTEGER NOT NULL,
    ends_us INTEGER NOT NULL,
    PRIMARY KEY (studio, session),
    FOREIGN KEY (studio, account) REFERENCES account (studio, account) ON DELETE CASCADE,
    FOREIGN KEY (studio, device) REFERENCES device (studio, device) ON DELETE CASCADE
) STRICT;
CREATE INDEX session_by_account ON session (studio, account);
CREATE INDEX session_by_device ON session (studio, device);
