package line

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"surefret/cmd/surefret/practice"
)

// heardEach is how many short and how many long lines are copied: their medians stand
// firm against a slip or two.
const heardEach = 5

// apart are letters of which no two rhyme or begin alike when they are spoken.
const apart = "fhmoqry"

// Measure takes, from lines of two lengths that are heard and copied, how long a line
// is spoken and how soon the hand answers it; typing has it besides what it had. It
// reports false where the player stopped, and typing is as before.
func Measure(ctx context.Context, in *Input, out io.Writer, now func() time.Time, rng *rand.Rand, typing practice.Typing) (practice.Typing, bool, error) {
	fmt.Fprintln(out, "Just type the letter that each of the next ten lines ends with, and Enter. This times how long listening takes, so that later only your thinking is timed. 'stop' leaves it out.")
	var lengths, times [2][]time.Duration
	for n := range 2 * heardEach {
		letter := string(apart[rng.IntN(len(apart))])
		text := letter
		if n%2 == 1 {
			text = "This line is a longer one, so that it takes a while to be spoken, " + letter
		}
		var from time.Time
		put := func() {
			fmt.Fprintln(out, text)
			from = now()
		}
		put()
		given, err := in.line(ctx, nil, put)
		switch {
		case errors.Is(err, io.EOF), strings.EqualFold(given, "stop"):
			return typing, false, nil
		case err != nil:
			return typing, false, err
		case !strings.EqualFold(given, letter):
			fmt.Fprintf(out, "That was %q, not %s: it does not count.\n", given, letter)
			continue
		}
		took := now().Sub(from)
		if !in.first.IsZero() {
			took = in.first.Sub(from)
		}
		lengths[n%2] = append(lengths[n%2], time.Duration(utf8.RuneCountInString(text)))
		times[n%2] = append(times[n%2], took)
	}
	if min(len(times[0]), len(times[1])) <= heardEach/2 {
		return typing, false, nil
	}
	short, long := median(times[0]), median(times[1])
	typing.Character = min(max(long-short, 0)/(lengths[1][0]-lengths[0][0]), practice.SlowestCharacter)
	typing.Line = min(max(short-typing.Character, practice.FastestTyping), practice.Usual(times[0]))
	return typing, true, nil
}

func median(times []time.Duration) time.Duration {
	slices.Sort(times)
	return times[len(times)/2]
}
