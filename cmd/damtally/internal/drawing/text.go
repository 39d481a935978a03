package drawing

import (
	"math"
	"strings"
	"unicode"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// in writes a measure of SI in a unit, without its name.
func in(u units.Unit, si float64, decimals int) string { return units.Number(u.FromSI(si), decimals) }

// with writes a measure of SI in a unit, with its name.
func with(u units.Unit, si float64, decimals int) string { return in(u, si, decimals) + " " + u.Name }

// volume writes a volume with its state: "1,234 bank yd3".
func volume(u units.Unit, m3 float64, state string) string {
	return in(u, m3, 0) + " " + state + " " + u.Name
}

// decimalsOf is how many decimals numbers need that lie a step apart.
func decimalsOf(step float64) int {
	n := 0
	for n < 6 && math.Abs(step-math.Round(step)) > 1e-9*max(1, math.Abs(step)) {
		step *= 10
		n++
	}
	return n
}

// capital writes a text with a capital first.
func capital(text string) string {
	r := []rune(text)
	if len(r) == 0 {
		return ""
	}
	return string(unicode.ToUpper(r[0])) + string(r[1:])
}

// clean takes out of a user's text what would break a line, and puts a question
// mark for each letter that the fonts do not hold: they hold the letters of Latin,
// Greek and Cyrillic alphabets.
func clean(text string) string {
	var out string
	withFace(false, func(f *face) {
		out = strings.Map(func(r rune) rune {
			switch {
			case unicode.IsControl(r) || !unicode.IsPrint(r):
				return ' '
			case !f.holds(r):
				return '?'
			}
			return r
		}, text)
	})
	return strings.TrimSpace(out)
}

// longestName is how many letters of a user's name are drawn at most.
const longestName = 40

// name is a user's name for something, cleaned and no longer than fits a drawing.
func name(text string) string {
	r := []rune(clean(text))
	if len(r) > longestName {
		return string(r[:longestName]) + "..."
	}
	return string(r)
}
