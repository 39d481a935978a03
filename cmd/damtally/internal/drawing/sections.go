package drawing

import (
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// usualSections is how many cross-sections are drawn when none are asked for.
const usualSections = 12

// The parts of a section's cell, points.
const (
	cellHead   = 34.0
	cellFoot   = 26.0
	cellAxis   = 34.0
	cellGap    = 8.0
	beyondToes = 0.08 // how much ground is drawn beyond a toe, as a share of the width
	mostSheets = 3    // of sections, before cells grow smaller
)

// sectionSheets is the cross-sections in the making.
type sectionSheets struct {
	d        *set
	scale    scaling
	patterns []pattern
	half     [2]float64 // the farthest offsets, upstream (negative) and downstream
	tall     float64    // the greatest height of any drawing, m
}

// sections draws the sheets of cross-sections, all at one scale.
func (d *set) sections() {
	chosen := d.chosenSections()
	if len(chosen) == 0 {
		return
	}
	t := &sectionSheets{d: d, patterns: patternsOf(d.r.Design.Zones)}
	for _, c := range chosen {
		x, z := extentOf(c)
		t.half = [2]float64{min(t.half[0], x.From), max(t.half[1], x.To)}
		t.tall = max(t.tall, z.To-z.From)
	}
	room := newSheet("", "", d.paper).room()
	key := t.key()
	room.Min[1] += keyPad + keyRow*float64(key[len(key)-1].row+1)
	columns, rows := t.arrange(room, len(chosen))
	sheets := (len(chosen) + columns*rows - 1) / (columns * rows)
	rows = (len(chosen) + sheets*columns - 1) / (sheets * columns) // as many on each sheet, not a few on the last
	d.spread("sections", "Cross-sections", len(chosen), columns*rows, func(s *Sheet, from, to int) {
		d.scaled(t.scale.text + ", across and up")
		drawKey(s, key)
		for i, c := range chosen[from:to] {
			t.cell(s, c, cellOf(room, columns, rows, i))
		}
	})
}

// leastDrawn is the share of the largest section's area under which a section is
// not drawn unasked.
const leastDrawn = 0.02

// chosenSections are the sections that the options name, else a choice along the
// dam with the highest one among them.
func (d *set) chosenSections() []*earthwork.Section {
	all := d.r.Quantities.Sections
	var standing []int
	least := 0.0
	for i := range all {
		least = max(least, leastDrawn*all[i].Neat.Area)
	}
	for i := range all {
		if all[i].Fill && all[i].Neat.Area > least && all[i].At != earthwork.After {
			standing = append(standing, i)
		}
	}
	var out []*earthwork.Section
	if asked := d.opt.Sections; len(asked) > 0 {
		for i := range asked {
			out = append(out, &asked[i])
		}
		return out
	}
	take := standing
	if n := len(standing); n > usualSections {
		take = nil
		for k := range usualSections {
			take = append(take, standing[k*(n-1)/(usualSections-1)])
		}
		if h := d.r.Quantities.Highest; h >= 0 && !slices.Contains(take, h) {
			take[nearestTo(take, h)] = h
		}
	}
	for _, i := range take {
		out = append(out, &all[i])
	}
	return out
}

// betweenSurveyed says whether the ground at a station was not surveyed there but
// is taken from cross-section notes on both sides.
func (d *set) betweenSurveyed(station float64) bool {
	shots := d.r.Site.Shots
	return len(shots) > 0 && !slices.ContainsFunc(shots, func(s site.Shot) bool { return s.Station == station })
}

// nearestTo is where in a list of numbers the one nearest to v stands.
func nearestTo(list []int, v int) int {
	best := 0
	for k := range list {
		if abs(list[k]-v) < abs(list[best]-v) {
			best = k
		}
	}
	return best
}

func abs(v int) int {
	if v < 0 {
		return -v
	}
	return v
}

// extentOf is how far a section's drawing reaches: offsets and elevations, m.
func extentOf(c *earthwork.Section) (x, z geometry.Interval) {
	x = geometry.Interval{From: c.UpstreamToe, To: c.DownstreamToe}
	for _, slabs := range [][]geometry.Slab{c.Shapes, c.Dug, c.Over} {
		if n := len(slabs); n > 0 {
			x = geometry.Interval{From: min(x.From, slabs[0].From), To: max(x.To, slabs[n-1].To)}
		}
	}
	pad := beyondToes * max(x.To-x.From, 1)
	x = geometry.Interval{From: x.From - pad, To: x.To + pad}
	z = geometry.Interval{From: min(c.StrippedLevel, trenchBottom(c)), To: max(c.Crest, c.BuiltCrest)}
	for _, l := range []geometry.Line{c.Ground, c.Stripped} {
		for _, k := range within(l, x) {
			z = geometry.Interval{From: min(z.From, k.Elevation), To: max(z.To, k.Elevation)}
		}
	}
	return x, z
}

// within is the part of a line between two offsets.
func within(l geometry.Line, x geometry.Interval) geometry.Line {
	var out geometry.Line
	put := func(at float64) {
		if z, ok := l.At(at); ok {
			out = append(out, geometry.Knot{Offset: at, Elevation: z})
		}
	}
	put(x.From)
	for _, k := range l {
		if k.Offset > x.From && k.Offset < x.To {
			out = append(out, k)
		}
	}
	put(x.To)
	return out
}

// arrange finds how many cells stand beside and under one another: as few columns
// as fit all sections on a few sheets, at the largest standard scale.
func (t *sectionSheets) arrange(room orb.Bound, n int) (columns, rows int) {
	width, height := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	across := t.half[1] - t.half[0]
	for columns = 1; ; columns++ {
		w := width/float64(columns) - cellAxis - cellGap
		t.scale = scaleFor(t.d.system, [2]float64{across, t.tall}, [2]float64{w, height - cellHead - cellFoot})
		one := t.tall*t.scale.perMetre + cellHead + cellFoot
		rows = max(1, int(height/one))
		if columns*rows*mostSheets >= n || columns >= 5 {
			return columns, rows
		}
	}
}

// cellOf is the place of a cell, counted along the rows.
func cellOf(room orb.Bound, columns, rows, i int) orb.Bound {
	w, h := (room.Max[0]-room.Min[0])/float64(columns), (room.Max[1]-room.Min[1])/float64(rows)
	x, y := room.Min[0]+float64(i%columns)*w, room.Min[1]+float64(i/columns)*h
	return orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + w, y + h}}
}
