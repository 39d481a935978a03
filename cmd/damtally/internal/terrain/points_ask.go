package terrain

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// mostAsked is how much of a file is looked at before its column order is asked
// for.
const mostAsked = 64 << 20

// errEnough ends a look at a file.
var errEnough = errors.New("enough")

// askOrder is the error of a point file without a column order: it shows the
// bounds both ways, so that its owner can tell which is right.
func (s *source) askOrder(opt Options) error {
	var ask orderAsker
	seen := 0
	err := s.eachLine(s.stream(opt), func(line []byte) error {
		ask.look(line)
		if seen += len(line) + 1; seen > mostAsked {
			return errEnough
		}
		return nil
	})
	if err != nil && !errors.Is(err, errEnough) {
		return err
	}
	e := s.fault("", "which column is the easting and which the northing cannot be told from the numbers", orderMend)
	e.Column = "column order"
	if ways := ask.ways(opt); len(ways) > 0 {
		e.What += ": " + strings.Join(ways, ", ")
		e.Mend = "write the right one as the `column order`"
	}
	return e
}

// mostColumns is how many columns are looked at.
const mostColumns = 6

// orderAsker finds the bounds of the columns.
type orderAsker struct {
	low, high [mostColumns]float64
	text      [mostColumns]bool // something there is no number
	columns   int
	lines     int
}

// look takes a line into account when three of its columns are numbers.
func (a *orderAsker) look(line []byte) {
	if passedOver(line) {
		return
	}
	for _, way := range splitters {
		fields := way.split(nil, line, mostColumns)
		numbers, zeros := 0, 0
		var v [mostColumns]float64
		for i, f := range fields {
			x, ok := parseDecimal(f)
			if v[i] = x; !ok {
				v[i] = math.NaN()
			} else {
				numbers++
				if x == 0 {
					zeros++
				}
			}
		}
		if numbers < 3 {
			continue
		}
		if zeros > 1 {
			return // a lost point, which would show bounds that no ground has
		}
		for i := range fields {
			if a.lines == 0 || i >= a.columns {
				a.low[i], a.high[i] = math.Inf(1), math.Inf(-1)
			}
			if math.IsNaN(v[i]) {
				a.text[i] = true
				continue
			}
			a.low[i], a.high[i] = min(a.low[i], v[i]), max(a.high[i], v[i])
		}
		a.columns = max(a.columns, len(fields))
		a.lines++
		return
	}
}

// ways writes the two usual readings with their bounds. The point's number is
// the first column when three columns of numbers follow it.
func (a *orderAsker) ways(opt Options) []string {
	first := 0
	if a.columns > 3 && !a.text[1] && !a.text[2] && !a.text[3] {
		first = 1
	}
	if a.columns < first+3 {
		return nil
	}
	lead := ""
	if first == 1 {
		lead = "point "
	}
	tail := ""
	if a.columns > first+3 {
		tail = " code"
	}
	var out []string
	for _, swap := range [2]int{0, 1} {
		words := "easting northing"
		if swap == 1 {
			words = "northing easting"
		}
		e, n := first+swap, first+1-swap
		text := fmt.Sprintf("with %q x is %.2f to %.2f and y is %.2f to %.2f", lead+words+" elevation"+tail,
			a.low[e], a.high[e], a.low[n], a.high[n])
		if a.onSite(e, n, opt) {
			text += " (which lies at the site)"
		}
		out = append(out, text)
	}
	return out
}

// onSite reports whether the columns read this way touch the window.
func (a *orderAsker) onSite(e, n int, opt Options) bool {
	if opt.whole() {
		return false
	}
	unit := opt.Unit
	if unit.SI == 0 {
		unit, _ = units.Lookup("m")
	}
	b := orb.Bound{Min: orb.Point{unit.ToSI(a.low[e]), unit.ToSI(a.low[n])}, Max: orb.Point{unit.ToSI(a.high[e]), unit.ToSI(a.high[n])}}
	return moved(b, opt.Origin, -1).Intersects(opt.Window)
}
