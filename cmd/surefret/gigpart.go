package main

import (
	"path/filepath"

	"surefret/cmd/surefret/cli"
	"surefret/drills/gig"
)

// readPart reads a part in tablature from a file.
func readPart(name string) (gig.Part, error) {
	text, err := cli.ReadTab(name)
	if err != nil {
		return gig.Part{}, err
	}
	return gig.NewPart(filepath.Base(name), text), nil
}

// checkParts tells which part of a song this player's neck cannot read.
func (pl *player) checkParts(s gig.Song) error {
	for _, part := range s.Parts {
		if _, err := part.On(pl.Setup().Neck); err != nil {
			return cli.BadInput{Err: err}
		}
	}
	return nil
}
