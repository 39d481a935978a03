package site

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

func readWord(text string, words []string) (string, *fault) {
	if w, ok := matchWord(text, words); ok {
		return w, nil
	}
	if ours, ok := translate(text); ok {
		if w, ok := matchWord(ours, words); ok {
			return w, nil
		}
	}
	return "", &fault{units.Quote(text) + " is not one of its words", suggest(text, words)}
}

// largest guards later arithmetic against overflow: no measure of a dam comes
// near it in SI units.
const largest = 1e12

// readNumber reads a cell as a number, in SI.
func (t *tableReader) readNumber(c cell, spec *Column, unit units.Unit) (float64, *fault) {
	if f := unreadable(c); f != nil {
		return 0, f
	}
	var number float64
	var f *fault
	switch {
	case c.kind == xlsx.Number:
		number, f = storedNumber(c, spec.UnitKind, unit)
	case spec.Kind == Station:
		number, f = parseStation(c.text, unit, t.mark)
	default:
		number, f = parseMeasure(c.text, spec.UnitKind, unit, t.mark)
	}
	if f == nil && math.Abs(number) > largest {
		f = &fault{units.Quote(c.text) + " is far too large", "look at the number and at the header's unit"}
	}
	return number, f
}

// storedNumber reads a number cell of a workbook by its number format.
func storedNumber(c cell, kind units.Kind, unit units.Unit) (float64, *fault) {
	number, err := units.ParseDecimal(c.text)
	if err != nil {
		return 0, notNumber(c.text)
	}
	switch {
	case c.format == xlsx.Percent && kind == units.Ratio:
		return number, nil // stored as a fraction whatever the header says
	case c.format == xlsx.Percent:
		return 0, &fault{"is shown as a percentage", "format the cell as a plain number and look at its value"}
	case c.format == xlsx.Clock && kind == units.Slope:
		hours := int(math.Min(math.Floor(math.Abs(number)*24+clockSlack), 99))
		minutes := int(math.Mod(math.Abs(number)*24*60+clockSlack, 60))
		hour := ""
		if hours > 0 {
			hour = fmt.Sprint(hours)
		}
		return 0, clockFault(fmt.Sprintf("%d:%02d", hours, minutes), hour)
	case c.format == xlsx.Clock:
		return 0, &fault{"is a clock time", "format the cell as a plain number and write it again"}
	case c.format == xlsx.Day:
		return 0, &fault{"is a date", "format the cell as a plain number and write it again"}
	}
	return unit.ToSI(number), nil
}

// clockSlack guards the hours and minutes of a stored clock time against the
// rounding of its fraction of a day.
const clockSlack = 1e-6

// parseStation reads the text of a station.
func parseStation(text string, unit units.Unit, mark byte) (float64, *fault) {
	if i := strings.IndexByte(text, '+'); i <= 0 {
		return parseMeasure(text, units.Length, unit, mark)
	}
	plain := numberMarks.Replace(text)
	if mark == ',' {
		plain = strings.Replace(plain, ",", ".", 1)
	}
	if u := unit; math.IsNaN(u.SI) { // its unit is wrong, which is reported already
		return math.NaN(), nil
	}
	value, err := units.ParseStation(plain, unit)
	if e, ok := err.(units.Error); ok {
		return 0, &fault{e.What, e.Mend}
	}
	return value, nil
}
