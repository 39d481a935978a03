package site

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// fault is what is wrong with one cell and how to mend it.
type fault struct{ what, mend string }

// notNumber is the fault of a text that is no number at all.
func notNumber(text string) *fault {
	return &fault{units.Quote(text) + " is not a number", "write a plain number such as 12.5"}
}

// spaces and minus signs that people's programs put into numbers.
var numberMarks = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "−", "-", "–", "-", "’", "'")

// parseNumber reads a plain number as people write it, with the decimal mark
// that the site sets: '.', ',' or 0 when it sets none. Thousands may be set
// apart by a comma (or a point, when the decimal mark is a comma), a blank or an
// apostrophe, in groups of three. A text that can be read in two ways is a fault.
func parseNumber(text string, mark byte) (float64, *fault) {
	if mark != ',' {
		if value, err := units.ParseDecimal(text); err == nil {
			return value, nil
		}
	}
	plain := numberMarks.Replace(text)
	if !numberLike(plain) {
		return 0, notNumber(text)
	}
	digits, f := unmark(text, plain, mark)
	if f != nil {
		return 0, f
	}
	value, err := units.ParseDecimal(digits)
	if err != nil {
		return 0, notNumber(text)
	}
	return value, nil
}

// numberLike reports whether a text has digits and no character that a number
// cannot hold.
func numberLike(text string) bool {
	return strings.ContainsAny(text, "0123456789") && strings.Trim(text, "0123456789.,' -+eE") == ""
}

// unmark rewrites a number with a point as its decimal mark and no thousands
// separators. text is what stood in the cell, for the fault.
func unmark(text, plain string, mark byte) (string, *fault) {
	if mark == ',' {
		return europe(text, plain)
	}
	whole, decimals, point := strings.Cut(plain, ".")
	commas := strings.Count(whole, ",")
	switch {
	case strings.Contains(decimals, ","):
		if mark == 0 {
			return "", decimalComma(text)
		}
		return "", notNumber(text)
	case commas == 1 && !point && mark == 0:
		before, after, _ := strings.Cut(whole, ",")
		if len(after) != 3 || !grouped(whole, ',') || strings.TrimLeft(before, "-+") == "0" {
			return "", decimalComma(text)
		}
		return "", &fault{
			units.Quote(text) + " can be read as " + before + after + " or as " + before + "." + after,
			"write it without the comma, or set `decimal mark` in the table site to . or ,",
		}
	case commas > 0 && !grouped(whole, ','):
		return "", notNumber(text)
	}
	whole, ok := ungroup(strings.ReplaceAll(whole, ",", " "))
	if !ok {
		return "", notNumber(text)
	}
	if point {
		whole += "." + decimals
	}
	return whole, nil
}

func decimalComma(text string) *fault {
	return &fault{
		units.Quote(text) + " has a comma where the decimal mark is a point",
		"write a point, or set `decimal mark` in the table site to ,",
	}
}

// europe is unmark for a decimal comma.
func europe(text, plain string) (string, *fault) {
	whole, decimals, comma := strings.Cut(plain, ",")
	if strings.Contains(whole, ".") && !grouped(whole, '.') || strings.Contains(decimals, ".") {
		return "", &fault{
			units.Quote(text) + " has a point, but the site sets the decimal mark to a comma",
			"write a comma before the decimals",
		}
	}
	whole, ok := ungroup(strings.ReplaceAll(whole, ".", " "))
	if !ok {
		return "", notNumber(text)
	}
	if comma {
		whole += "." + decimals
	}
	return whole, nil
}

// grouped reports whether a whole number is set in groups of three by mark.
func grouped(whole string, mark byte) bool {
	groups := strings.Split(strings.TrimLeft(whole, "-+"), string(mark))
	for i, g := range groups {
		if i > 0 && len(g) != 3 || len(g) == 0 || len(g) > 3 || strings.Trim(g, "0123456789") != "" {
			return false
		}
	}
	return true
}

// ungroup takes out blanks and apostrophes between groups of three digits.
func ungroup(whole string) (string, bool) {
	for _, mark := range []byte{' ', '\''} {
		if strings.IndexByte(whole, mark) >= 0 {
			if !grouped(whole, mark) {
				return "", false
			}
			whole = strings.ReplaceAll(whole, string(mark), "")
		}
	}
	return whole, true
}

// parseMeasure reads the text of a cell in the header's unit and returns SI.
func parseMeasure(text string, kind units.Kind, unit units.Unit, mark byte) (float64, *fault) {
	switch kind {
	case units.Slope:
		return parseSlope(text, mark)
	case units.Ratio:
		if share, ok := strings.CutSuffix(text, "%"); ok {
			value, f := parseNumber(strings.TrimSpace(share), mark)
			return value / 100, f
		}
	case units.Money:
		text = strings.TrimLeft(text, "$€£¥ ")
	}
	value, f := parseNumber(text, mark)
	if f == nil {
		return unit.ToSI(value), nil
	}
	if _, own, ok := splitUnit(text, mark); ok && kind != "" {
		return 0, unitInCell(text, own, unit)
	}
	return 0, f
}

// unitInCell is the fault of a cell that carries a unit of its own.
func unitInCell(text string, own, unit units.Unit) *fault {
	mend := "write the number alone"
	if unit.Name != "" && own.Name != unit.Name {
		mend = "convert it to " + unit.Name + " and " + mend
	}
	what := units.Quote(text) + " carries a unit of its own"
	if unit.Name != "" {
		what += ", but the header says (" + unit.Name + ")"
	}
	return &fault{what, mend}
}

// longestUnit is the length of the longest spelling of a unit, with a blank.
const longestUnit = len(" us survey ft")

// splitUnit parts "25 ft" into its number and its unit.
func splitUnit(text string, mark byte) (value float64, unit units.Unit, ok bool) {
	for i := max(1, len(text)-longestUnit); i < len(text); i++ {
		if c := text[i]; c >= '0' && c <= '9' {
			continue
		}
		unit, ok = units.Lookup(text[i:])
		if !ok || unit.Name == "-" {
			continue
		}
		if v, f := parseNumber(strings.TrimSpace(text[:i]), mark); f == nil {
			return v, unit, true
		}
	}
	return 0, units.Unit{}, false
}

// leastSlope guards against slopes written the wrong way round: 1:3 taken for
// 3:1 comes out as 0.33 and steeper ones as less; no face of earth stands at
// 0.3 to 1. A core between shells may.
const leastSlope = 0.3

// slopeMend says how a slope is written.
const slopeMend = "write 3 for 3 across to 1 up"

// parseSlope reads a slope, horizontal to one vertical: 3, 3:1, 3h:1v. The
// range is checked later, since some columns take zero.
func parseSlope(text string, mark byte) (float64, *fault) {
	across, up, two := strings.Cut(text, ":")
	if !two {
		return parseNumber(text, mark)
	}
	across = strings.TrimSpace(strings.TrimRight(strings.TrimSpace(across), "hH"))
	up = strings.TrimSpace(strings.TrimRight(strings.TrimSpace(up), "vV"))
	if len(up) >= 2 && up[0] >= '0' && up[0] <= '9' {
		if hours, _, ok := strings.Cut(text, ":"); ok && clockLike(text) {
			return 0, clockFault(units.Quote(text), strings.TrimLeft(hours, "0"))
		}
	}
	value, f := parseNumber(across, mark)
	if f != nil {
		return 0, &fault{units.Quote(text) + " is not a slope", slopeMend}
	}
	if up != "1" {
		return 0, &fault{units.Quote(text) + " does not say how far across for 1 up", slopeMend}
	}
	return value, nil
}

// clockLike reports whether a text looks like a time of day, such as 03:01:00.
func clockLike(text string) bool {
	_, minutes, _ := strings.Cut(text, ":")
	return len(minutes) >= 2 && minutes[0] >= '0' && minutes[0] <= '5' && minutes[1] >= '0' && minutes[1] <= '9'
}

func clockFault(shown, hours string) *fault {
	if hours == "" {
		hours = "3"
	}
	return &fault{
		shown + " is a clock time; the spreadsheet may have turned the slope into one",
		"format the cell as a plain number and write " + hours + " for " + hours + " across to 1 up",
	}
}

// checkRange checks a value against what its column takes; shown is how it was
// written. vertical says that a slope of 0 stands for a vertical side.
func checkRange(value float64, shown string, kind units.Kind, r Range, vertical bool) *fault {
	if kind == units.Slope && r != SteepToo && value < leastSlope && !(vertical && value == 0) {
		mend := slopeMend
		if vertical {
			mend += ", or 0 for vertical"
		}
		switch {
		case value < 0 && vertical:
			return &fault{"a slope of " + shown + " is below zero", mend}
		case value <= 0:
			return &fault{"a slope of " + shown + " must be above zero", mend}
		}
		return &fault{"a slope of " + shown + " across to 1 up is too steep", mend}
	}
	switch {
	case r == Positive && value <= 0:
		return &fault{units.Quote(shown) + " is not above zero", "write a number above zero"}
	case r == NotNegative && value < 0:
		return &fault{units.Quote(shown) + " is below zero", "write zero or more"}
	}
	return nil
}

// short writes a number without needless digits.
func short(value float64) string { return strconv.FormatFloat(value, 'g', 6, 64) }

// trim takes blanks of every kind off both ends.
func trim(text string) string {
	if text == "" || text[0] > ' ' && text[0] < utf8.RuneSelf && text[len(text)-1] > ' ' && text[len(text)-1] < utf8.RuneSelf {
		return text
	}
	return strings.TrimSpace(text)
}
