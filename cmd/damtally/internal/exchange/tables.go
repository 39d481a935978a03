package exchange

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// sheet writes rows of a CSV file.
type sheet struct {
	out    bytes.Buffer
	write  *csv.Writer
	failed error // the first of any row
}

// newSheet begins a file with a remark, which the tables of a site pass over, and
// the names of its columns.
func newSheet(remark string, columns ...string) *sheet {
	s := &sheet{}
	s.out.WriteString("# " + remark + "\n")
	s.write = csv.NewWriter(&s.out)
	s.row(columns...)
	return s
}

// row writes a row; bytes tells of an error.
func (s *sheet) row(cells ...string) {
	if err := s.write.Write(cells); err != nil && s.failed == nil {
		s.failed = err
	}
}

// bytes is the file, or the first error of its rows.
func (s *sheet) bytes() ([]byte, error) {
	s.write.Flush()
	return s.out.Bytes(), errors.Join(s.failed, s.write.Error())
}

// plain makes a user's text fit for a cell: a spreadsheet would take one that
// begins like a formula for one, so a quote stands before it.
func plain(text string) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, text)
	if text != "" && strings.ContainsRune("=+-@", rune(text[0])) {
		return "'" + text
	}
	return text
}

// shown writes a figure with so many decimals, "" for one that is not known.
func shown(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// in is the name of a column with its unit.
func in(name string, unit units.Unit) string { return name + " (" + unit.Name + ")" }

// stakeDecimals is how many decimals a point to stake out has: a stake stands to
// a hundredth of a foot or a millimetre.
func (s *scribe) stakeDecimals() int {
	if s.grid.SI < 0.5 {
		return 3
	}
	return 4
}

// stakeOut lists the corners of the neat outline at each section.
func (s *scribe) stakeOut() ([]byte, error) {
	out := newSheet("Points to stake out, at each section. "+s.gridNote()+" Offsets are negative upstream. Elevations are those of the drawing; the last column adds the settlement allowance.",
		"line", in("station", s.grid), in("offset", s.grid), in("elevation", s.grid), in("x", s.grid), in("y", s.grid), in("elevation to build", s.grid))
	d := s.stakeDecimals()
	for i := range s.r.Quantities.Sections {
		c := &s.r.Quantities.Sections[i]
		f := s.frame(c)
		for _, k := range cornersOf(c) {
			x, y := s.place(f.Plan(k.offset))
			built := k.elevation
			if z, ok := c.Raised.At(k.offset); ok {
				built = max(built, z)
			}
			out.row(k.line, shown(s.grid.FromSI(c.Station), d), shown(s.grid.FromSI(k.offset), d), shown(s.grid.FromSI(k.elevation), d), shown(x, d), shown(y, d), shown(s.grid.FromSI(built), d))
		}
	}
	return out.bytes()
}

// quantities lists what the dam takes and what the pits hold.
func (s *scribe) quantities() ([]byte, error) {
	q := &s.r.Quantities
	volume, area := s.system.Volume, s.system.Area
	out := newSheet("Quantities of "+plain(s.r.Site.Settings.Name)+". Every volume says its state.", "what", "of", "state", "quantity", "unit")
	put := func(what, of, state string, si float64, unit units.Unit, decimals int) {
		if !math.IsNaN(si) {
			out.row(what, plain(of), state, shown(unit.FromSI(si), decimals), unit.Name)
		}
	}
	vol := func(what, of, state string, si float64) { put(what, of, state, si, volume, 1) }
	vol("fill, neat", "", "compacted", q.Fill.EndArea+q.Fill.Bend)
	vol("trench", "", "compacted", q.Trench)
	vol("settlement allowance", "", "compacted", q.Settlement)
	vol("outside the outline", "", "compacted", q.Outside)
	vol("total in the dam", "", "compacted", q.Total)
	vol("overbuild", "", "compacted", q.Overbuild)
	vol("stripping", "", "in place", q.Stripping)
	put("footprint", "", "", q.Footprint, area, 0)
	for _, z := range q.Zones {
		vol("zone", z.Zone, "compacted", z.Compacted)
	}
	for _, m := range s.r.Materials {
		vol("material", m.Row.Name, "compacted", m.Compacted)
		if m.Bought {
			put("material to buy", m.Row.Name, "in trucks", m.Mass, s.system.Bulk, 1)
			continue
		}
		vol("material to dig", m.Row.Name, "bank", m.Bank)
		vol("material to haul", m.Row.Name, "loose", m.Loose)
	}
	for i := range s.r.Pits {
		p := &s.r.Pits[i]
		vol("pit holds", p.Row.Name, "bank", p.Capacity.Bank)
		vol("pit topsoil", p.Row.Name, "bank", p.Capacity.Strip)
	}
	for _, b := range s.r.Balance {
		vol("needed", b.Material, "bank", b.Needed)
		vol("available", b.Material, "bank", b.Available)
		vol("short by", b.Material, "bank", b.Short)
	}
	return out.bytes()
}

// tests lists every density test with what it says.
func (s *scribe) tests() ([]byte, error) {
	d, l := s.system.Density, s.system.Length
	out := newSheet("Density tests, with what each says.", "id", "date", "state", "material", "pit", "zone", in("station", l), in("offset", l), in("elevation", l), "lift",
		in("dry density", d), "water content (%)", "percent compaction (%)", "result", "why", "retest of", "method")
	number := func(v float64, given bool, unit units.Unit, decimals int) string {
		if !given {
			return ""
		}
		return shown(unit.FromSI(v), decimals)
	}
	for _, t := range s.r.Tests {
		w := t.Row
		result := ""
		if t.Pass != nil {
			result = map[bool]string{true: "pass", false: "fail"}[*t.Pass]
		}
		if t.Replaced {
			result = strings.TrimSpace(result + " (retested)")
		}
		water := ""
		if w.WaterContent.Given {
			water = shown(100*w.WaterContent.Value, 1)
		}
		out.row(plain(w.ID), w.Date, w.State, plain(w.Material), plain(w.Pit), plain(w.Zone), number(w.Station.Value, w.Station.Given, l, 1),
			number(w.Offset.Value, w.Offset.Given, l, 1), number(w.Elevation.Value, w.Elevation.Given, l, 2), plain(w.Lift),
			shown(d.FromSI(t.DryDensity), 1), water, shown(100*t.Compaction, 1), result, strings.Join(t.Reasons, ", "), plain(w.RetestOf), plain(w.Method))
	}
	return out.bytes()
}
