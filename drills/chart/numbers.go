package chart

import (
	"strings"

	"surefret/drills/theory"
)

var (
	// numberForm splits a number into its degree, what a dash or m says, and the
	// figures that follow.
	numberForm = formOf(`^([b#♭♯]*[1-7])(-|m(?:in|i)?)?(\d*)`)
	romanForm  = formOf(`^[b#♭♯]*(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)$`)
	dashNumber = formOf(`-[1-7]`)
)

// number reads a chord by number. What could be two chords is refused.
func (r *reader) number(m *Mark) (reading string) {
	parts := numberForm().FindStringSubmatch(m.Text)
	if parts == nil {
		if m.Text[0] == '0' || m.Text[0] > '7' {
			return "no degree: numbers go from 1 to 7"
		}
		return "no chord: use a number 1 to 7 and what belongs to it"
	}
	degree, minor, figures := parts[1], parts[2], parts[3]
	rest := m.Text[len(parts[0]):]
	switch {
	case r.settled:
	case minor == "-" && len(dashNumber().FindAllString(m.Text, -1)) > 1, minor == "-" && figures != "" && figures < "7" && figures[0] != '1', minor == "-" && figures == "1":
		return strings.ReplaceAll(m.Text, "-", "- ") + " or " + strings.ReplaceAll(m.Text, "-", " ") + "? leave a space between chords"
	case minor != "" || figures == "" || figures == "7" || figures == "9" || figures == "6" && strings.HasPrefix(rest, "/9"):
	default:
		return spaced(degree, figures) + rest + " or one chord, " + degree + "(" + figures + ")" + rest + "? write it like that"
	}
	n, err := theory.ParseNumeral(m.Text)
	if err != nil {
		if bareMeter().MatchString(m.Text) {
			return "a metre? write (" + m.Text + ")"
		}
		for end := len(m.Text) - 1; end >= len(degree); end-- {
			if _, err := theory.ParseNumeral(m.Text[:end]); err == nil {
				return m.Text[:end] + "? the rest says nothing"
			}
		}
		return "no chord: use a number 1 to 7 and what belongs to it"
	}
	m.chord = r.key.Chord(n)
	return ""
}

// spaced writes figures as chords of their own: 15 is 1 5.
func spaced(degree, figures string) string {
	for _, f := range figures {
		degree += " " + string(f)
	}
	return degree
}

// roman reads a chord by roman numeral, by the mode of the song. A numeral behind
// a slash is the bass; behind V and vii, which lead to other chords, it could be
// that other chord.
func (r *reader) roman(m *Mark) (reading string) {
	if rest := strings.TrimLeft(m.Text, "b#♭♯IViv"); r.quiet && rest != "" && rest[0] >= 'a' && rest[0] <= 'z' && !strings.ContainsRune("adjmnos", rune(rest[0])) {
		return "no chord" // of what is sung: it, very
	}
	i := strings.LastIndexByte(m.Text, '/')
	if i < 0 || !romanForm().MatchString(m.Text[i+1:]) {
		n, err := theory.ParseNumeral(m.Text)
		if err != nil {
			return "no chord: use a roman numeral I to VII and what belongs to it"
		}
		m.chord = r.key.Chord(r.inMode(n))
		return ""
	}
	above, below := m.Text[:i], m.Text[i+1:]
	n, err := theory.ParseNumeral(above)
	bass, err2 := theory.ParseNumeral(below)
	if err != nil || err2 != nil {
		return "no chord: use a roman numeral I to VII and what belongs to it"
	}
	bass = r.inMode(bass)
	applied, fails := theory.ParseNumeral(m.Text)
	if r.settled && fails == nil {
		m.chord = r.key.Chord(applied)
		return ""
	}
	if leads := n.Degree.Number == 5 || n.Degree.Number == 7; leads && n.Degree.Alter == 0 {
		if fails == nil && n.Degree.Number == 5 && bass.Degree.Number == 5 {
			m.chord = r.key.Chord(applied) // over its own root it says nothing
			return ""
		} else if fails == nil {
			plain := r.key.Numeral(r.key.Chord(applied))
			return "the chord that leads to " + below + ", " + plain.Roman() + ", or " + above + " over a bass, " + above + "/" + bass.Degree.String() + "? write one of these"
		}
	}
	m.chord = r.key.Chord(r.inMode(n)).WithBass(r.key.Note(bass.Degree))
	return ""
}

// inMode counts a roman numeral as the song's mode does: III in minor is the chord
// on its third degree.
func (r *reader) inMode(n theory.Numeral) theory.Numeral {
	if r.key.Mode.Minor() {
		return n.FromMinor()
	}
	return n
}

// numberOf writes a chord by number so that it can be read as nothing else: the
// fifth of 1 is 1(5).
func numberOf(n theory.Numeral) string {
	text := n.Number()
	m, r := Mark{Text: text}, reader{}
	if r.number(&m) == "" {
		return text
	}
	parts := numberForm().FindStringSubmatch(text)
	return parts[1] + parts[2] + "(" + parts[3] + ")" + text[len(parts[0]):]
}
