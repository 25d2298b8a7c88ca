-- The player answers: the log holds answers, and is called so. The table keeps
-- its rows where they are, so that a long log is brought over in no time.

DROP TRIGGER IF EXISTS reviews_keep;
DROP TRIGGER IF EXISTS reviews_stay;
DROP TRIGGER IF EXISTS reviews_once;
DROP INDEX IF EXISTS reviews_at;
DROP INDEX IF EXISTS reviews_takes_back;
ALTER TABLE reviews RENAME TO answers;

CREATE INDEX answers_at ON answers (at);
CREATE INDEX answers_takes_back ON answers (takes_back) WHERE takes_back IS NOT NULL;

-- Answers that a clock which was ahead dated after the day on which this file got
-- them, with the time and the day that they count as from. It belongs to this file:
-- the rows themselves stay as they were written.
CREATE TABLE redated (
	seq INTEGER PRIMARY KEY REFERENCES answers (seq),
	at  INTEGER NOT NULL,                       -- ms since 1970 UTC
	day TEXT NOT NULL                           -- the player's practice day
) STRICT;

-- Changes of anything that has a name: a kind to come needs no other table.
CREATE TABLE changes_3 (
	seq    INTEGER PRIMARY KEY,
	id     TEXT NOT NULL,
	device INTEGER NOT NULL REFERENCES devices (n),
	at     INTEGER NOT NULL,                    -- ms since 1970 UTC
	kind   TEXT NOT NULL CHECK (kind <> '' AND kind NOT GLOB '*[^a-z]*'),
	key    TEXT NOT NULL,
	value  TEXT,                                -- JSON; NULL where it was removed
	sum    INTEGER NOT NULL,
	UNIQUE (id, sum)
) STRICT;
INSERT INTO changes_3 SELECT * FROM changes ORDER BY seq;
DROP TABLE changes;
ALTER TABLE changes_3 RENAME TO changes;

CREATE INDEX changes_key ON changes (kind, key, at, id);

CREATE TRIGGER answers_keep BEFORE UPDATE ON answers BEGIN
	SELECT RAISE(ABORT, 'the answer log is append-only');
END;
CREATE TRIGGER answers_stay BEFORE DELETE ON answers BEGIN
	SELECT RAISE(ABORT, 'the answer log is append-only');
END;
CREATE TRIGGER changes_keep BEFORE UPDATE ON changes BEGIN
	SELECT RAISE(ABORT, 'the change log is append-only');
END;
CREATE TRIGGER changes_stay BEFORE DELETE ON changes BEGIN
	SELECT RAISE(ABORT, 'the change log is append-only');
END;

-- INSERT OR REPLACE deletes without firing the triggers above, so a row that is
-- there already is passed over before it comes to that.
CREATE TRIGGER answers_once BEFORE INSERT ON answers
WHEN EXISTS (SELECT 1 FROM answers WHERE id = NEW.id AND sum = NEW.sum OR seq = NEW.seq) BEGIN
	SELECT RAISE(IGNORE);
END;
CREATE TRIGGER changes_once BEFORE INSERT ON changes
WHEN EXISTS (SELECT 1 FROM changes WHERE id = NEW.id AND sum = NEW.sum OR seq = NEW.seq) BEGIN
	SELECT RAISE(IGNORE);
END;
