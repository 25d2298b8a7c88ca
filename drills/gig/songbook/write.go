package songbook

import (
	"encoding/json"
	"fmt"
	"strings"

	"surefret/drills/gig"
)

// Write writes the songs of a gig as a song book.
func Write(g gig.Gig) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# A song book of Surefret, in TOML: the songs of %s.\n", g.Name)
	b.WriteString("# Chords are numbers, roman numerals or names of the key a song is learned in.\n")
	for _, s := range g.Songs {
		fmt.Fprintf(&b, "\n[[song]]\ntitle = %s\nlearned = %s\ncalled = %s\n", quoted(s.Title), quoted(s.Learned), quoted(s.Called))
		if s.Tempo > 0 {
			fmt.Fprintf(&b, "tempo = %g # beats a minute\n", s.Tempo)
		}
		if len(s.Shapes) > 0 {
			names := make([]string, len(s.Shapes))
			for i, name := range s.Shapes {
				names[i] = quoted(name)
			}
			fmt.Fprintf(&b, "shapes = [%s]\n", strings.Join(names, ", "))
		}
		for _, sec := range s.Sections {
			b.WriteString("\n[[song.section]]\n")
			if sec.Name != "" {
				fmt.Fprintf(&b, "name = %s\n", quoted(sec.Name))
			}
			fmt.Fprintf(&b, "chords = %s\n", quoted(sec.Chords))
		}
		for _, part := range s.Parts {
			fmt.Fprintf(&b, "\n[[song.part]]\nname = %s\ntab = %s\n", quoted(part.Name), block(part.Tab))
		}
	}
	return b.String()
}

// quoted writes a TOML basic string. Those of JSON are a subset of them, as long
// as nothing is a control character, which no gig holds.
func quoted(s string) string {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.Encode(s) // a string always can be
	return strings.TrimSuffix(b.String(), "\n")
}

// block writes a text of several lines so that it can be read and edited:
// nothing in a TOML literal string is escaped.
func block(s string) string {
	if strings.Contains(s, "'''") || strings.HasSuffix(s, "'") {
		return quoted(s)
	}
	return "'''\n" + s + "\n'''"
}
