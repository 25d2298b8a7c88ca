-- The review log, and the changes to gigs and settings. Both are append-only:
-- what is in them is never changed or removed, so two files merge as the union
-- of their rows. sum is a CRC-32C of the row's content, as SQLite itself does
-- not notice a flipped bit inside a value.

CREATE TABLE devices (
	n  INTEGER PRIMARY KEY,
	id TEXT NOT NULL UNIQUE
) STRICT;

-- What belongs to this file on this computer and never merges.
CREATE TABLE here (
	key   TEXT PRIMARY KEY,
	value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE reviews (
	seq        INTEGER PRIMARY KEY,             -- order of arrival in this file
	id         TEXT NOT NULL UNIQUE,
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
	sum        INTEGER NOT NULL
) STRICT;

CREATE INDEX reviews_at ON reviews (at);
CREATE INDEX reviews_takes_back ON reviews (takes_back) WHERE takes_back IS NOT NULL;

CREATE TABLE changes (
	seq    INTEGER PRIMARY KEY,
	id     TEXT NOT NULL UNIQUE,
	device INTEGER NOT NULL REFERENCES devices (n),
	at     INTEGER NOT NULL,                    -- ms since 1970 UTC
	kind   TEXT NOT NULL CHECK (kind IN ('gig', 'setting')),
	key    TEXT NOT NULL,
	value  TEXT,                                -- JSON; NULL where it was removed
	sum    INTEGER NOT NULL
) STRICT;

CREATE INDEX changes_key ON changes (kind, key, at, id);

-- A cache of what replaying the log gives. It may be thrown away at any time.
CREATE TABLE snapshots (
	version TEXT PRIMARY KEY,
	upto    INTEGER NOT NULL,                   -- it covers the reviews with seq <= upto
	at      INTEGER NOT NULL,                   -- the last of them in canonical order
	id      TEXT NOT NULL,
	state   BLOB NOT NULL,
	sum     INTEGER NOT NULL
) STRICT;

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
WHEN EXISTS (SELECT 1 FROM reviews WHERE id = NEW.id OR seq = NEW.seq) BEGIN
	SELECT RAISE(IGNORE);
END;
CREATE TRIGGER changes_once BEFORE INSERT ON changes
WHEN EXISTS (SELECT 1 FROM changes WHERE id = NEW.id OR seq = NEW.seq) BEGIN
	SELECT RAISE(IGNORE);
END;
