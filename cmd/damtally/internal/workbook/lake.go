package workbook

import (
	"math"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// Columns of the sheet Lake.
const (
	lakeLevel = iota + 1
	lakeArea
	lakeLand
	lakeRise
	lakeExact
	lakeEndStep
	lakeEndArea
	lakeConicStep
	lakeConic
	lakeDifference
	lakeWithPits // only where pits add to it
)

// root is SQRT.
func root(a expr) expr { return call("SQRT", num(math.Sqrt(a.numeric())), a) }

// storageUnit is what storage is shown in: acre-ft or m3. It is the unit of
// land (US) or area (metric) times that of length, so that formulas need no factor.
func (b *book) storageUnit() units.Unit {
	name := "m3"
	if b.m.Name == units.US.Name {
		name = "acre-ft"
	}
	u, _ := units.Lookup(name)
	return u
}

func (b *book) storageOf(si float64) expr { return number(b.storageUnit().FromSI(si)) }

// layLake lays the lake at the site's levels, and area and storage by elevation.
func (b *book) layLake() {
	k := b.r.Lake
	if k == nil {
		return
	}
	s := b.lakeSheet
	row := s.opening("Lake", lakeDifference,
		"Water behind the dam, from the ground upstream as surveyed and the neat upstream face. Storage is exact over the triangles of the ground; two contour methods stand beside it, in live formulas.",
		"It is no forecast of water: whether the lake fills, and how deep mud gets in time, is not in it. A water right or a dam permit often counts storage: ask before you build.")
	row = b.layLimit(row, k)
	if len(k.Pools) > 0 {
		row = b.layPools(row+1, k)
	}
	b.layStorage(row+3, k)
}

// layLimit says up to where the lake is known.
func (b *book) layLimit(row int, k *plan.Lake) int {
	if k.Limit.Level >= k.Crest {
		return row
	}
	m := b.m
	words := "Area and storage are known up to " + lengthText(m, k.Limit.Level) + " only: there the water reaches "
	if k.Limit.Kind == earthwork.SurveyEdge {
		words += "the edge of the survey"
	} else {
		words += "a saddle and spills over it"
	}
	words += ", at x " + lengthText(m, k.Limit.At[0]) + ", y " + lengthText(m, k.Limit.At[1]) + "."
	look := lookExplain
	if k.Limit.RoundDam && k.Limit.Kind == earthwork.Saddle {
		words, look = "DANGER: "+words+" From there it goes round the dam.", lookDanger
	}
	b.lakeSheet.line(row, 1, lakeDifference, words, look)
	return row + 1
}

func lengthText(m measures, si float64) string {
	return strconv.FormatFloat(m.Length.FromSI(si), 'f', 2, 64) + " " + m.Length.Name
}

// layPools lays the levels that the site names.
func (b *book) layPools(row int, k *plan.Lake) int {
	s, m := b.lakeSheet, b.m
	s.headings(row, in("Water at", m.Length), "Level", in("Area", m.LandArea), in("Storage", b.storageUnit()),
		in("Shoreline", m.Length), in("Mean depth", m.Length), in("Greatest depth", m.Length))
	for _, p := range k.Pools {
		row++
		s.put(row, 1, m.lengthOf(p.Level), figure(formatLength))
		s.put(row, 2, text(p.Name), lookWord)
		if !p.Known {
			s.line(row, 3, 5, "not known: above the limit or the crest, or below the ground along the dam", lookWhy)
			continue
		}
		land := s.put(row, 3, number(m.LandArea.FromSI(p.At.Area)), figure(formatLand))
		volume := s.put(row, 4, b.storageOf(p.At.Volume), figure(b.formatStorage()))
		if p.Name == "normal pool" {
			b.work.pool, b.work.stored = land, volume
		}
		s.put(row, 5, m.lengthOf(p.At.Shoreline), figure(formatVolume))
		over := land.ref()
		if m.Name != units.US.Name {
			over = mul(over, number(m.perLand))
		}
		mean := when(more(land.ref(), number(0)), div(volume.ref(), over), number(0))
		s.put(row, 6, b.live(mean, m.lengthOf(p.At.MeanDepth), "mean depth at the "+p.Name), figure(formatShort))
		s.put(row, 7, m.lengthOf(p.At.GreatestDepth), figure(formatShort))
	}
	return row
}

// formatStorage is the number format of storage: hundredths of an acre-ft, whole m3.
func (b *book) formatStorage() string {
	if b.m.Name == units.US.Name {
		return formatLand
	}
	return formatVolume
}

// layStorage lays the table by elevation.
func (b *book) layStorage(row int, k *plan.Lake) {
	s, m, u := b.lakeSheet, b.m, b.storageUnit()
	s.headings(row, in("Water at", m.Length), in("Area", m.Area), in("Area", m.LandArea), in("Rise from the row above", m.Length),
		in("Storage, exact", u), in("In this rise, end area", u), in("Storage, end area", u), in("In this rise, conic", u), in("Storage, conic", u), "End area beside exact")
	s.line(row-1, lakeEndStep, 2, "rise x (A1 + A2) / 2", lookHead)
	s.line(row-1, lakeConicStep, 2, "rise x (A1 + A2 + root of A1 x A2) / 3", lookHead)
	for i, r := range k.Rows {
		b.layStorageRow(row+1+i, i == 0, r)
	}
	if k.WithPits != nil {
		s.put(row, lakeWithPits, text(in("Storage with what the pits dig out", u)), lookHead)
		for i, v := range k.WithPits {
			s.put(row+1+i, lakeWithPits, b.storageOf(v), figure(b.formatStorage()))
		}
	}
	b.storage = span{s, lakeLevel, row + 1, row + len(k.Rows)}
	s.heads = [2]int{row, row}
	s.freeze = [2]int{0, 1}
}

// leastCompared is the storage from which on two methods are set side by side, m3: below
// it the sheet shows next to nothing, and a share of that says nothing.
const leastCompared = 10

func (b *book) layStorageRow(row int, first bool, r earthwork.StorageRow) {
	s, m := b.lakeSheet, b.m
	level := s.put(row, lakeLevel, m.lengthOf(r.Level), figure(formatLength))
	area := s.put(row, lakeArea, m.areaOf(r.Area), input(formatVolume))
	land := s.put(row, lakeLand, m.land(area.ref()), figure(formatLand))
	exact := s.put(row, lakeExact, b.storageOf(r.Volume), input(b.formatStorage()))
	if first {
		s.blankRow(row, lakeRise, lakeRise, lookWord)
		s.blankRow(row, lakeEndStep, lakeDifference, lookWord)
		s.put(row, lakeEndArea, number(0), figure(b.formatStorage()))
		s.put(row, lakeConic, number(0), figure(b.formatStorage()))
		return
	}
	rise := s.put(row, lakeRise, sub(level.ref(), s.at(row-1, lakeLevel).ref()), figure(formatShort))
	a1, a2 := s.at(row-1, lakeArea).ref(), area.ref()
	if m.Name == units.US.Name { // acres x feet = acre-ft
		a1, a2 = s.at(row-1, lakeLand).ref(), land.ref()
	}
	step := s.put(row, lakeEndStep, mul(rise.ref(), div(add(a1, a2), number(2))), figure(b.formatStorage()))
	end := s.put(row, lakeEndArea, b.live(add(s.at(row-1, lakeEndArea).ref(), step.ref()), b.storageOf(r.Contours.EndArea), "storage by end area"), figure(b.formatStorage()))
	conic := mul(rise.ref(), div(add(add(a1, a2), root(mul(a1, a2))), number(3)))
	step = s.put(row, lakeConicStep, conic, figure(b.formatStorage()))
	s.put(row, lakeConic, b.live(add(s.at(row-1, lakeConic).ref(), step.ref()), b.storageOf(r.Contours.Conic), "storage by the conic formula"), figure(b.formatStorage()))
	s.put(row, lakeDifference, when(more(exact.ref(), b.storageOf(leastCompared)), sub(div(end.ref(), exact.ref()), number(1)), blank()), figure(formatPoints))
}

// stored tells whether there is a table of storage.
func (b *book) stored() bool { return b.storage.sheet != nil && !b.storage.empty() }
