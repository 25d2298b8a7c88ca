package kept

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"surefret/cmd/surefret/cli"
	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/store"
)

// mostPupils is how many practices are read at once.
const mostPupils = 200

// Pupils reads the practices in files, and of a folder those that it holds; of these one
// that is none or is damaged is passed over.
func Pupils(ctx context.Context, names []string, now func() time.Time, passed func(error)) (all report.Pupils, err error) {
	for _, name := range names {
		files := []string{name}
		info, err := os.Stat(name)
		folder := err == nil && info.IsDir()
		if folder {
			files, _ = filepath.Glob(filepath.Join(name, "*.db"))
		}
		for _, file := range files {
			if len(all) == mostPupils {
				return nil, cli.Usagef("more than %d practices are too many to show: name fewer files", mostPupils)
			}
			one, err := pupil(ctx, file, now)
			switch {
			case folder && (errors.Is(err, store.ErrForeign) || errors.Is(err, store.ErrDamaged)): // the others can be shown
				passed(err)
			case err != nil:
				return nil, Mendable(err)
			default:
				all = append(all, one)
			}
		}
	}
	if len(all) == 0 {
		return nil, cli.Usagef("there is no practice in %s: give files like maya.db, or a folder with some", strings.Join(names, ", "))
	}
	return all, nil
}

// pupil reads one practice.
func pupil(ctx context.Context, file string, now func() time.Time) (report.Pupil, error) {
	one := report.Pupil{Name: strings.TrimSuffix(filepath.Base(file), ".db"), File: file, Weak: []report.Topic{}}
	db, err := store.OpenReadOnly(ctx, file)
	if err != nil {
		return one, err
	}
	defer db.Close()
	pl, err := practice.Open(ctx, log{db}, now)
	if err != nil {
		return one, err
	}
	if one.Players, err = db.Players(ctx); err != nil {
		return one, err
	}
	return one, pl.Pupil(ctx, &one)
}
