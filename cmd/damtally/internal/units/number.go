package units

import (
	"math"
	"strconv"
	"strings"
)

// Number writes a number for people: rounded to so many decimals, with commas
// between the thousands, and never as -0. What is not a number, or has no end, is
// "not known".
func Number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not known"
	}
	text := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, rest, broken := strings.Cut(text, ".")
	var b strings.Builder
	if v < 0 && strings.Trim(text, "0.") != "" {
		b.WriteByte('-')
	}
	for i, digit := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(digit)
	}
	if broken {
		b.WriteString("." + rest)
	}
	return b.String()
}
