package store_test

import (
	"bytes"
	"encoding/hex"
	"path/filepath"
	"testing"
	"time"

	"surefret/store"
)

// RFC 9562, appendix A.6: the example of a UUID of version 7.
func TestNewIDIsTheUUIDOfTheStandard(t *testing.T) {
	at := time.Date(2022, 2, 22, 14, 22, 22, 0, time.FixedZone("GMT-05:00", -5*3600))
	random, err := hex.DecodeString("0cc3" + "18c4dc0c0c07398f")
	must(t, err)
	if got, want := store.NewID(at, bytes.NewReader(random)), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestIDsOfOneLogRiseWhateverTheClock(t *testing.T) {
	db := newLog(t)
	last := ""
	for n := range 10_000 {
		id := db.NewID(morning.Add(-time.Duration(n%7) * time.Hour))
		if id <= last {
			t.Fatalf("%s comes after %s", id, last)
		}
		if id[14] != '7' || id[19] < '8' || id[19] > 'b' {
			t.Fatalf("%s is not of version 7 and variant 10", id)
		}
		last = id
	}
}

// With a clock that stands still, the next sitting's ids follow the last one's.
func TestIDsFollowTheNewestInTheLog(t *testing.T) {
	path := filepath.Join(t.TempDir(), "surefret.db")
	last := ""
	for range 50 {
		db, err := store.Open(t.Context(), path)
		must(t, err)
		r := answer(1)
		r.ID = db.NewID(r.At)
		if r.ID <= last {
			t.Fatalf("%s comes after %s", r.ID, last)
		}
		last = r.ID
		appendAll(t, db, r)
		db.Close()
	}
}
