-- What a glance at everybody needs, and the coach's yes to an advice.

-- The coach said yes; what was done is said by became and record.
ALTER TABLE advice ADD COLUMN accepted_us INTEGER;

-- A cache beside belief: where each person stands. Holds if revision is still the person's, and engine ours.
CREATE TABLE standing (
    studio            TEXT NOT NULL,
    person            TEXT NOT NULL,
    engine            TEXT NOT NULL,
    revision          INTEGER NOT NULL,
    sets              INTEGER NOT NULL,
    first_day         TEXT,
    last_day          TEXT,
    last_sets         INTEGER NOT NULL,
    days              INTEGER NOT NULL,  -- bit i: trained i days before last_day
    declined          INTEGER NOT NULL CONSTRAINT declined_is_yes_or_no CHECK (declined IN (0, 1)),
    symptom_day       TEXT,
    symptom_exercise  TEXT,
    unrested_day      TEXT,              -- a muscle was trained before it had recovered
    unrested_exercise TEXT,
    used_up_exercise  TEXT,              -- its ladder ends here
    used_up_light     INTEGER NOT NULL CONSTRAINT used_up_light_is_yes_or_no CHECK (used_up_light IN (0, 1)),
    nothing_fits      TEXT,              -- an exercise without any load in this kit
    earliest_day      TEXT,
    screening         TEXT,              -- its verdict
    items             INTEGER NOT NULL,
    asked_day         TEXT,              -- a check-in said to ask a clinician first
    PRIMARY KEY (studio, person),
    FOREIGN KEY (studio, person) REFERENCES person (studio, person) ON DELETE CASCADE
) STRICT;
