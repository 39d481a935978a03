package units

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// Error says what is wrong with a text and how to mend it.
type Error struct {
	What, Mend string // no final stop
}

// Error implements error: "what; mend".
func (e Error) Error() string {
	if e.Mend == "" {
		return e.What
	}
	return e.What + "; " + e.Mend
}

// plusDigits is how many digits follow the plus of a station: stations are
// hundreds of feet or thousands of metres.
var plusDigits = map[string]int{"ft": 2, "ftUS": 2, "m": 3}

// ParseStation reads a station in the given unit of length, as "12+50" (ft) or
// "1+250" (m) or a plain number, and returns it in metres. The plus takes
// exactly two digits in feet and three in metres, since "12+5" may be 1205 or
// 1250. A leading minus applies to the whole. The error is an Error.
func ParseStation(text string, unit Unit) (float64, error) {
	text = strings.TrimSpace(text)
	body, negative := strings.CutPrefix(text, "-")
	before, after, plus := strings.Cut(body, "+")
	if !plus || before == "" {
		value, err := ParseDecimal(text)
		if err != nil {
			return 0, Error{Quote(text) + " is not a station", stationForm(unit)}
		}
		return checked(text, unit.ToSI(value))
	}
	digits, ok := plusDigits[unit.Name]
	if !ok {
		return 0, Error{
			Quote(text) + " has a plus, but the stations are in " + unit.Name,
			"give stations in ft or m, or write a plain number",
		}
	}
	before, after = strings.TrimSpace(before), strings.TrimSpace(after)
	whole, decimals, point := strings.Cut(after, ".")
	if !allDigits(before) || !allDigits(whole) || point && !allDigits(decimals) {
		return 0, Error{Quote(text) + " is not a station", stationForm(unit)}
	}
	if len(whole) != digits {
		return 0, Error{Quote(text) + " can be read in two ways", stationForm(unit)}
	}
	value, err := strconv.ParseFloat(before+after, 64)
	if err != nil {
		return 0, Error{Quote(text) + " is out of range", stationForm(unit)}
	}
	if negative {
		value = -value
	}
	return checked(text, unit.ToSI(value))
}

// stationForm says how a station is written in a unit.
func stationForm(unit Unit) string {
	switch plusDigits[unit.Name] {
	case 2:
		return "write two digits after the plus in " + unit.Name + ", such as 12+50 for 1250"
	case 3:
		return "write three digits after the plus in m, such as 1+250 for 1250"
	}
	return "write a plain number"
}

func checked(text string, value float64) (float64, error) {
	if math.IsInf(value, 0) {
		return 0, Error{Quote(text) + " is out of range", "write a smaller number"}
	}
	return value, nil
}

// errNumber is returned for a text that is no plain number.
var errNumber = errors.New("not a number")

// ParseDecimal reads a plain decimal number with a point as decimal mark, with
// or without an exponent. Unlike strconv it refuses NaN, infinities,
// hexadecimal numbers and underscores; what overflows is an error too.
func ParseDecimal(text string) (float64, error) {
	if text == "" {
		return 0, errNumber
	}
	for i := range len(text) {
		c := text[i]
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, errNumber
		}
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, errNumber
	}
	return value, nil
}

func allDigits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}

// longestQuote is how much of a wrong text is shown, in characters.
const longestQuote = 40

// Quote shows a text as it was read, in quotation marks, cut when it is long.
func Quote(text string) string {
	if r := []rune(text); len(r) > longestQuote {
		text = string(r[:longestQuote]) + "..."
	}
	return strconv.Quote(text)
}
