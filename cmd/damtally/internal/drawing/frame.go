package drawing

import (
	"slices"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// The frame round a sheet and the block of titles under it, points.
const (
	margin      = 24.0
	blockHeight = 58.0
	blockPad    = 5.0
)

// cautions stand on every sheet.
const cautions = "Not for construction. For planning and bidding, drawn from the tables of the site. " +
	"A dam can fail and a trench can cave in: both need a licensed engineer, permits and competent people on site, and local codes come first. " +
	"Volumes are compacted unless they say bank or loose."

// heading is what the block of titles says beside the sheet's own title.
type heading struct {
	site, version string
	dated         string // date of the newest data
	units, datum  string
	sheets        int
}

// headingOf gathers it from a result.
func headingOf(r *plan.Result, version string, sheets int) heading {
	s := units.SystemOf(r.Site.Settings.OutputUnits)
	h := heading{site: clean(r.Site.Settings.Name), version: version, sheets: sheets, units: s.Length.Name + ", " + s.Volume.Name, datum: clean(r.Site.Settings.Datum)}
	if h.site == "" {
		h.site = "Site without a name"
	}
	if h.datum == "" {
		h.datum = "not given"
	}
	var dates []string
	for _, t := range r.Site.Density {
		dates = append(dates, t.Date)
	}
	for _, f := range r.Site.Surfaces {
		dates = append(dates, f.Date)
	}
	h.dated = "not given"
	if newest := append(dates, ""); slices.Max(newest) != "" { // year-month-day sorts by itself
		h.dated = slices.Max(newest)
	}
	return h
}

// room is the part of the paper inside the frame and above the block of titles.
func (s *Sheet) room() orb.Bound {
	return orb.Bound{
		Min: orb.Point{margin, margin},
		Max: orb.Point{s.paper.Width - margin, s.paper.Height - margin - blockHeight},
	}
}

// frame draws the frame and the block of titles: the site and the sheet, its scale
// and units, dates, and the cautions.
func (s *Sheet) frame(h heading, scale string, index int) {
	s.on("frame")
	left, right := margin, s.paper.Width-margin
	top, bottom := s.paper.Height-margin-blockHeight, s.paper.Height-margin
	s.guarded(medium, rectangle(left, margin, right, bottom))
	s.guarded(medium, orb.LineString{{left, top}, {right, top}})
	whole := right - left
	// Shares of the block's width: names, scale and units, dates, cautions.
	x := []float64{left, left + 0.30*whole, left + 0.50*whole, left + 0.64*whole, right}
	for _, c := range x[1:4] {
		s.guarded(thin, orb.LineString{{c, top}, {c, bottom}})
	}
	s.cell(x[0], x[1], top, []words{
		{text: h.site, size: 10, bold: true},
		{text: s.Title, size: 12, bold: true},
		{text: "Sheet " + strconv.Itoa(index+1) + " of " + strconv.Itoa(h.sheets), size: 8},
	})
	s.cell(x[1], x[2], top, []words{
		{text: "Scale: " + scale, size: 8, bold: true},
		{text: "Units: " + h.units, size: 8},
		{text: "Datum: " + h.datum, size: 7, ink: dark},
	})
	s.cell(x[2], x[3], top, []words{
		{text: "Newest dated data: " + h.dated, size: 8},
		{text: "Drawn by damtally " + h.version, size: 7, ink: dark},
		{text: "Paper: " + s.paper.Name + ", print at 100 %", size: 7, ink: dark},
	})
	s.cell(x[3], x[4], top, []words{{text: cautions, size: 7.2, ink: alarm}})
}

// cell sets lines in a cell of the block of titles, each wrapped where it is too
// wide; what would hang out below is left out.
func (s *Sheet) cell(from, to, top float64, lines []words) {
	y := top + blockPad
	for _, w := range lines {
		for _, t := range wrapped(w.text, w.size, w.bold, to-from-2*blockPad) {
			y += w.size * 1.22
			if y > top+blockHeight-descent*w.size-1 {
				return
			}
			w.text, w.at = t, orb.Point{from + blockPad, y}
			s.write(w)
		}
	}
}
