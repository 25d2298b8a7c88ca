package kept

import (
	"context"
	"slices"
	"strings"

	"surefret/cmd/surefret/practice"
	"surefret/cmd/surefret/report"
	"surefret/drills"
	"surefret/drills/fretboard"
	"surefret/drills/fretboard/fingering"
	"surefret/drills/rehearse"
	"surefret/drills/theory"
)

// Offer lists what may stand for a word in capitals of a usage line, some with an
// explanation behind a tab: a shell completes it.
func (p Place) Offer(ctx context.Context, word string) (values []string) {
	switch word {
	case "KEY", "KEYS":
		for _, k := range theory.Keys() {
			values = append(values, k.Short())
		}
	case "NOTE":
		for _, k := range theory.KeysOf(theory.Major) {
			values = append(values, k.Tonic.String())
		}
	case "SHAPE", "SHAPES":
		for _, s := range fretboard.Shapes {
			values = append(values, s.Name+"\t"+s.Words)
		}
	case "WORD": // of shapes
		for _, s := range fretboard.Shapes {
			if word := strings.ReplaceAll(strings.ToLower(s.Family), " ", "-"); !slices.Contains(values, word) {
				values = append(values, word)
			}
		}
	case "HAND":
		values = append([]string{rehearse.Roots, rehearse.Held, rehearse.Walks, rehearse.Walking, rehearse.Part}, p.Offer(ctx, "WORD")...)
	case "TUNING":
		for _, t := range fretboard.Tunings {
			values = append(values, t.Name)
		}
	case "HOW":
		values = []string{string(fingering.SameStrings), string(fingering.OtherStrings), string(fingering.Refingered)}
	case "DRILLS":
		values = strings.Split(practice.DrillNames(), ",")
	case "NOTES":
		values = []string{report.Naturals, report.Sharps, report.Flats}
	default:
		values = p.offerKept(ctx, word)
	}
	return values
}

// offerKept lists what the player has of his own.
func (p Place) offerKept(ctx context.Context, word string) (values []string) {
	switch word {
	case "WORDS":
		if _, setup, err := p.Setup(ctx); err == nil {
			for _, w := range drills.NewCatalogue(setup).Words() {
				values = append(values, w.Word)
			}
		}
	case "GIG":
		for _, g := range p.Gigs(ctx) {
			values = append(values, g.Name+"\t"+g.Day)
		}
	case "TITLE":
		for _, g := range p.Gigs(ctx) {
			for _, s := range g.Songs {
				values = append(values, s.Title+"\t"+g.Name)
			}
		}
	case "SONG":
		for _, s := range p.Songs(ctx) {
			values = append(values, s.Title+"\t"+s.Learned)
		}
	case "PART":
		for _, s := range p.Songs(ctx) {
			for _, part := range s.Parts {
				values = append(values, part.Name+"\t"+s.Title)
			}
		}
	}
	return values
}
