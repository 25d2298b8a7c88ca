package chart

import (
	"regexp"
	"sync"
)

// formOf returns a regular expression that is compiled when it is first asked for: most
// runs of the program read no chart, and should not wait for thirty of these.
func formOf(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}
