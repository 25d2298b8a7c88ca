package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"surefret/drills/gig"
)

// readPart reads a part in tablature from a file.
func readPart(name string) (gig.Part, error) {
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return gig.Part{}, usagef("there is no file %s: give the name of a part in tablature", name)
	} else if err != nil {
		return gig.Part{}, fmt.Errorf("read the part %s: %w", name, reason(err))
	}
	return gig.NewPart(filepath.Base(name), string(text)), nil
}

// checkParts tells which part of a song this player's neck cannot read.
func (pl *player) checkParts(s gig.Song) error {
	setup, err := pl.settings.Setup()
	if err != nil {
		return err
	}
	for _, part := range s.Parts {
		if _, err := part.On(setup.Neck); err != nil {
			return badInput{err}
		}
	}
	return nil
}
