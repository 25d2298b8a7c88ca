package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"surefret/cmd/surefret/spoken"
	"surefret/drills/fretboard/tablature"
)

// What is on paper, in points (a 72nd of an inch). The sheet is as narrow as A4 and as
// short as Letter within margins of 12 mm; the heights are those of the lines in the
// template's style.
const (
	paperWide = 527.0
	paperHigh = 722.0

	gigHigh    = 17.0 // a line with the gig and the next song
	gigWide    = 68   // letters on it
	titleHigh  = 32.0 // a line of the title
	titleWide  = 23   // letters on a line of it, beside key and tempo
	factsHigh  = 21.0
	factsWide  = 58 // letters of 16 points
	headEnd    = 14.0
	blockHead  = 22.0 // a heading, with the space above it
	lineHigh   = 18.0 // each further line of it
	headWide   = 62   // letters on it
	brokenHigh = 19.0
	brokenWide = 65 // letters of 14 points

	tabHigh    = 15.0
	tabWide    = 7.85 // a letter of 13 points
	tabLetters = 67   // on a line
	tabEnd     = 6.0
	tabGap     = 16.0 // between two walks
	pictureGap = 6
	rowGap     = 10.0 // below a row of pictures, and what their captions take more
	captions   = 19.0

	cellPad    = 11.0
	chordHigh  = 1.05 // of the size of chords
	numberHigh = 22.0 // with the space below
	numberSize = 16.0
	restSize   = 0.6 // of what follows a chord's note
	chordGap   = 0.25
)

// sizes are the sizes of chords in points, the largest first.
var sizes = []float64{40, 36, 32}

// A standSheet is one sheet of paper: a song, or what did not fit on its first.
type standSheet struct {
	Song
	ID     string
	Number int
	More   bool // not the first of its song
	Next   string
	Size   float64 // of chords
	Left   bool    // the neck is drawn with its nut at the right
	Blocks []block
}

// A block is one thing on a sheet. One of its lists is filled.
type block struct {
	Title    string
	Section  *gridSection
	Roots    []picture
	Lines    []string
	Tab      []tabBar
	Walks    []walkPicture
	Pictures []shapePicture
	Which    string // shapes the pictures are, or tones that stay
	high     float64
}

// A tabBar is a bar of tablature, or a line of text between bars.
type tabBar struct{ Text, Tab string }

// A walkPicture is a walk as tablature, and what is read out in its place.
type walkPicture struct{ Tab, Said string }

// A shapePicture is a shape over one chord.
type shapePicture struct {
	picture
	Chord string
}

// sheets lays a song out on paper. All goes on one sheet where that is possible with
// chords of a size that reads from a metre away. Else the chart has its size, and what
// is left over goes to the next sheet: pictures of shapes before walks, and these
// before tablature. The chart goes over only when it fills the first. Tones that stay are
// told where room is left. The text is what stands above the title.
func (s Song) sheets(gig string) []standSheet {
	room := paperHigh - s.headHigh(gig)
	needed := append(s.rootsBlock(), s.brokenBlock()...)
	all := slices.Concat(needed, s.walkingBlocks(), s.tabBlocks(), s.walkBlocks(), s.shapeBlocks())
	size := s.sizeFor(all, room)
	if size == 0 {
		size = s.sizeFor(needed, room)
	}
	if size == 0 {
		size = sizes[len(sizes)-1]
	}
	sheets := []standSheet{{Song: s, Size: size}}
	left := room
	for _, b := range append(s.chartBlocks(size), all...) {
		if b.high > left && left < room {
			sheets, left = append(sheets, standSheet{Song: s, Size: size, More: true}), room
		}
		last := &sheets[len(sheets)-1]
		last.Blocks, left = append(last.Blocks, b), left-b.high
	}
	if kept := s.keptBlocks(); high(kept) <= left {
		last := &sheets[len(sheets)-1]
		last.Blocks = append(last.Blocks, kept...)
	}
	return sheets
}

// sizeFor returns the largest size of chords with which the chart and other blocks find
// room, and as many bars a row as the smallest allows; 0 where there is none.
func (s Song) sizeFor(others []block, room float64) float64 {
	smallest := s.chartBlocks(sizes[len(sizes)-1])
	for _, size := range sizes {
		blocks := s.chartBlocks(size)
		if high(blocks)+high(others) <= room && slices.EqualFunc(blocks, smallest, sameRows) {
			return size
		}
	}
	return 0
}

func sameRows(a, b block) bool { return a.Section.Rows == b.Section.Rows }

func high(blocks []block) (sum float64) {
	for _, b := range blocks {
		sum += b.high
	}
	return sum
}

func (s Song) headHigh(gig string) float64 {
	return gigHigh*float64(linesOf(gig, gigWide)) + titleHigh*float64(linesOf(s.Title, titleWide)) + factsHigh*float64(linesOf(s.shift(), factsWide)) + headEnd
}

// rowsOnSheet is how many rows of bars stand in one block: a longer section goes on in
// another, which may come on the next sheet.
const rowsOnSheet = 8

func (s Song) chartBlocks(size float64) (all []block) {
	for _, sec := range s.Chart.Sections {
		if sec.Recalled {
			sec.Bars = nil // they stand above
		}
		g := s.grid(sec, size)
		for from := 0; from == 0 || from < len(g.Bars); from += rowsOnSheet * g.Rows {
			part := g
			part.Bars = g.Bars[from:min(from+rowsOnSheet*g.Rows, len(g.Bars))]
			if from > 0 {
				part.Head = ""
			}
			b := block{Section: &part}
			rows := math.Ceil(float64(len(part.Bars)) / float64(part.Rows))
			if part.Rows == 1 { // too long a bar goes on below itself
				rows = 0
				for _, bar := range part.Bars {
					rows += math.Ceil(1.1 * bar.width(size) / (paperWide - cellPad))
				}
			}
			if b.high = rows * (size*chordHigh + numberHigh); part.Head != "" {
				b.high += blockHead
			}
			all = append(all, b)
		}
	}
	return all
}

func (s Song) rootsBlock() []block {
	halves := s.rootsNeck()
	if halves == nil {
		return nil
	}
	return []block{{Title: "roots", Roots: halves, high: blockHead + float64(halves[0].High) + 4}}
}

func (s Song) brokenBlock() []block {
	lines := s.broken(brokenWide)
	if len(lines) == 0 {
		return nil
	}
	n := 0
	for _, l := range lines {
		n += linesOf(l, brokenWide)
	}
	return []block{{Title: "breaks", Lines: lines, high: blockHead + brokenHigh*float64(n)}}
}

// tabBlocks sets the parts in tonight's key, a block for as many systems as half a
// sheet holds, each system as many bars as fit beside each other.
func (s Song) tabBlocks() (all []block) {
	for _, p := range s.Parts {
		all = append(all, tabOf(strings.TrimSuffix(p.Name, ".txt")+", in "+s.key, p.Systems)...)
	}
	return all
}

// walkingBlocks sets the walking line of a bass.
func (s Song) walkingBlocks() (all []block) {
	for _, section := range s.Walking {
		all = append(all, tabOf(section.title(), s.walkedSystems(section))...)
	}
	return all
}

// tabOf sets tablature.
func tabOf(title string, systems []tablature.System) (all []block) {
	b := block{Title: title, high: blockHead}
	at := 0.0 // how far the line is filled
	for i, sys := range systems {
		for _, text := range sys.Text {
			b.Tab = append(b.Tab, tabBar{Text: text})
			b.high += tabHigh * float64(linesOf(text, tabLetters))
			at = 0
		}
		for n, bar := range sys.Bars {
			if i > 0 && n == 0 && len(sys.Text) == 0 && b.Tab != nil {
				bar = unlabelled(bar)
			}
			wide := tabWide * float64(tabWidth(bar))
			if at+wide > paperWide || at == 0 {
				if at = 0; b.high > paperHigh/2 {
					all = append(all, b)
					b = block{high: 0}
				}
				b.high += tabHigh*float64(len(bar)) + tabEnd
			}
			at += wide
			b.Tab = append(b.Tab, tabBar{Tab: strings.Join(bar, "\n")})
		}
	}
	if b.Tab != nil {
		all = append(all, b)
	}
	return all
}

// unlabelled takes the names of strings off a bar that stands beside others: all up to
// its first bar line, as far as no line of it begins earlier.
func unlabelled(bar []string) []string {
	label := -1
	for _, l := range bar {
		if at := strings.IndexAny(l, "|-"); at >= 0 && (label < 0 || at < label) && strings.Count(l, "-") > 1 {
			label = at
		}
	}
	short := make([]string, len(bar))
	for i, l := range bar {
		n := min(max(label, 0), len(l))
		if short[i] = l[n:]; strings.Count(l, "-") <= 1 { // chord names
			short[i] = strings.TrimSpace(l[:n]) + l[n:]
		}
	}
	return short
}

// walkBlocks sets the walks as tablature, as many beside each other as fit.
func (s Song) walkBlocks() []block {
	if len(s.Walks) == 0 {
		return nil
	}
	b := block{Title: "walks", high: blockHead}
	at, tallest := 0.0, 0
	for _, w := range s.Walks {
		lines := s.walkTab(w)
		wide := tabWide*float64(tabWidth(lines)) + tabGap
		if at+wide > paperWide {
			b.high += tabHigh*float64(tallest) + tabEnd
			at, tallest = 0, 0
		}
		at += wide
		tallest = max(tallest, len(lines))
		b.Walks = append(b.Walks, walkPicture{strings.Join(lines, "\n"),
			fmt.Sprintf("Walk from %s to %s: %s", w.From, w.To, spoken.Places(w.Path, ", "))})
	}
	b.high += tabHigh*float64(tallest) + tabEnd
	return []block{b}
}

// keptBlocks says which tones stay over the chords, and where each chord is held under them.
func (s Song) keptBlocks() (all []block) {
	for _, kept := range s.Kept {
		held := make([]string, len(kept.Chords))
		for i, c := range kept.Chords {
			held[i] = c.Chord + " " + c.Frets
		}
		b := block{Title: "held tones", Which: kept.Words, Lines: []string{strings.Join(held, "; ")}}
		b.high = blockHead + lineHigh*float64(linesOf(b.Title+" "+b.Which, headWide)-1) + brokenHigh*float64(linesOf(b.Lines[0], brokenWide))
		all = append(all, b)
	}
	return all
}

// shapeBlocks draws the shapes over their chords, a block a row, and says first which
// they are.
func (s Song) shapeBlocks() (all []block) {
	var which []string
	at, shape := 0, ""
	for _, sh := range s.landed() {
		p := shapePicture{s.shapePicture(sh), sh.Chord}
		if len(sh.For) > 0 {
			p.Chord = strings.Join(sh.For, ", ")
		}
		if sh.Shape != shape {
			shape = sh.Shape
			which = append(which, sh.Words+" for "+p.Chord)
		} else {
			which[len(which)-1] += ", " + p.Chord
		}
		if at == 0 || at+p.Wide > paperWide {
			all, at = append(all, block{}), 0
		}
		at += p.Wide + pictureGap
		b := &all[len(all)-1]
		b.Pictures = append(b.Pictures, p)
		b.high = max(b.high, captions+float64(p.High)+rowGap)
	}
	if all != nil {
		all[0].Title, all[0].Which = "shapes", strings.Join(which, "; ")
		all[0].high += blockHead + lineHigh*float64(linesOf(all[0].Title+" "+all[0].Which, headWide)-1)
	}
	return all
}
