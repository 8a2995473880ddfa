-- What people train with, and what a studio adds to the catalogue.

CREATE TABLE kit_item (
    studio        TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    item          TEXT NOT NULL,
    person        TEXT,               -- the owner; NULL: everybody's
    label         TEXT NOT NULL,      -- the owner's own
    kind          TEXT NOT NULL CONSTRAINT kind_is_known CHECK (kind IN ('band', 'loop', 'dumbbell', 'cuff')),
    mass_kg       REAL CONSTRAINT mass_is_positive CHECK (mass_kg > 0),
    rest_length_m REAL CONSTRAINT rest_length_is_positive CHECK (rest_length_m > 0),
    step          REAL,               -- place of an unmeasured band among its like, 0 the softest
    note          TEXT NOT NULL,
    made_us       INTEGER NOT NULL,
    retired_day   TEXT,               -- torn, given away
    PRIMARY KEY (studio, item),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
CREATE INDEX kit_item_by_person ON kit_item (studio, person);
-- Diaries name an implement by its label.
CREATE UNIQUE INDEX kit_label_of_a_person ON kit_item (studio, person, label) WHERE person IS NOT NULL AND retired_day IS NULL;
CREATE UNIQUE INDEX kit_label_of_everybody ON kit_item (studio, label) WHERE person IS NULL AND retired_day IS NULL;

-- Readings of a scale over time: only added to, so that wear can be seen.
CREATE TABLE kit_reading (
    studio       TEXT NOT NULL,
    reading      TEXT NOT NULL,
    item         TEXT NOT NULL,
    length_m     REAL NOT NULL CONSTRAINT length_is_positive CHECK (length_m > 0),
    force_n      REAL NOT NULL CONSTRAINT force_is_positive CHECK (force_n > 0),
    measured_day TEXT,
    note         TEXT NOT NULL,
    made_us      INTEGER NOT NULL,
    digest       TEXT NOT NULL,       -- of all these: tells what is damaged
    PRIMARY KEY (studio, reading),
    FOREIGN KEY (studio, item) REFERENCES kit_item (studio, item) ON DELETE CASCADE
) STRICT;
CREATE INDEX kit_reading_by_item ON kit_reading (studio, item);

-- Files of the studio's own beside the catalogue's, by version; the latest one holds, and is withdrawn if it is NULL.
CREATE TABLE addition (
    studio     TEXT NOT NULL REFERENCES studio (studio) ON DELETE CASCADE,
    name       TEXT NOT NULL,         -- "movements/my-row.json"
    version    INTEGER NOT NULL,
    json       TEXT,
    made_us    INTEGER NOT NULL,
    written_by TEXT NOT NULL,
    PRIMARY KEY (studio, name, version)
) STRICT;
