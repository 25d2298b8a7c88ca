-- A row is its id and its content. Two rows of one id that say different things,
-- as computers make them that are copies of each other to the last random
-- number, are both rows of the log: so a merge is the union of the rows in
-- whatever order it is made.

CREATE TABLE reviews_2 (
	seq        INTEGER PRIMARY KEY,             -- order of arrival in this file
	id         TEXT NOT NULL,
	device     INTEGER NOT NULL REFERENCES devices (n),
	at         INTEGER NOT NULL,                -- ms since 1970 UTC
	day        TEXT NOT NULL,                   -- the player's practice day
	item       TEXT NOT NULL,
	question   TEXT NOT NULL,
	answer     TEXT NOT NULL,
	want       TEXT NOT NULL,
	correct    INTEGER NOT NULL CHECK (correct IN (0, 1)),
	thinking   INTEGER NOT NULL CHECK (thinking >= 0), -- ms
	entry      TEXT NOT NULL,
	takes_back TEXT,                            -- id of the review it withdraws
	sum        INTEGER NOT NULL,
	UNIQUE (id, sum)
) STRICT;
INSERT INTO reviews_2 SELECT * FROM reviews ORDER BY seq;
DROP TABLE reviews;
ALTER TABLE reviews_2 RENAME TO reviews;

CREATE INDEX reviews_at ON reviews (at);
CREATE INDEX reviews_takes_back ON reviews (takes_back) WHERE takes_back IS NOT NULL;

CREATE TABLE changes_2 (
	seq    INTEGER PRIMARY KEY,
	id     TEXT NOT NULL,
	device INTEGER NOT NULL REFERENCES devices (n),
	at     INTEGER NOT NULL,                    -- ms since 1970 UTC
	kind   TEXT NOT NULL CHECK (kind IN ('gig', 'setting')),
	key    TEXT NOT NULL,
	value  TEXT,                                -- JSON; NULL where it was removed
	sum    INTEGER NOT NULL,
	UNIQUE (id, sum)
) STRICT;
INSERT INTO changes_2 SELECT * FROM changes ORDER BY seq;
DROP TABLE changes;
ALTER TABLE changes_2 RENAME TO changes;

CREATE INDEX changes_key ON changes (kind, key, at, id);

CREATE TRIGGER reviews_keep BEFORE UPDATE ON reviews BEGIN
	SELECT RAISE(ABORT, 'the review log is append-only');
END;
CREATE TRIGGER reviews_stay BEFORE DELETE ON reviews BEGIN
	SELECT RAISE(ABORT, 'the review log is append-only');
END;
CREATE TRIGGER changes_keep BEFORE UPDATE ON changes BEGIN
	SELECT RAISE(ABORT, 'the change log is append-only');
END;
CREATE TRIGGER changes_stay BEFORE DELETE ON changes BEGIN
	SELECT RAISE(ABORT, 'the change log is append-only');
END;

-- INSERT OR REPLACE deletes without firing the triggers above, so a row that is
-- there already is passed over before it comes to that.
CREATE TRIGGER reviews_once BEFORE INSERT ON reviews
WHEN EXISTS (SELECT 1 FROM reviews WHERE id = NEW.id AND sum = NEW.sum OR seq = NEW.seq) BEGIN
	SELECT RAISE(IGNORE);
END;
CREATE TRIGGER changes_once BEFORE INSERT ON changes
WHEN EXISTS (SELECT 1 FROM changes WHERE id = NEW.id AND sum = NEW.sum OR seq = NEW.seq) BEGIN
	SELECT RAISE(IGNORE);
END;
