package site

import (
	"fmt"
	"math"
	"strings"
)

// check makes every check between rows and tables that needs no geometry. What
// could not be read is NaN here, and no comparison with NaN holds, so that it
// causes no second problem.
func (r *reading) check() {
	r.nameTables()
	r.checkNeeded()
	r.checkGround()
	r.checkSurfaces()
	r.checkCrest()
	r.checkFaces()
	r.checkTrench()
	r.checkStripping()
	r.checkZones()
	r.checkConduits()
	r.checkMaterials()
	r.checkProctor()
	r.checkTests()
	r.buildOutlines()
	r.checkBorings()
	r.checkPits()
	r.attachRings()
	r.checkCuts()
	r.checkBlankets()
	r.checkSupplies()
	r.checkLoads()
	r.checkFleet()
	r.checkPrices()
}

// checkNeeded reports the tables that every site needs and this one lacks.
func (r *reading) checkNeeded() {
	for _, t := range Schema() {
		if state, ok := r.tables[t.Name]; t.Needed && !ok {
			r.wrong(Ref{Table: t.Name}, "", "the table is missing", "add "+r.container(t.Name)+" with the columns "+neededHeaders(t))
		} else if t.Needed && t.Name != "site" && state.whole && state.rows == 0 {
			r.wrong(Ref{Table: t.Name}, "", "the table has no rows", "fill it in below the header")
		}
	}
}

// container is what a table would stand in: a file or a sheet.
func (r *reading) container(table string) string {
	if r.book {
		return "a sheet " + table
	}
	return table + ".csv"
}

func neededHeaders(t Table) string {
	var names []string
	for _, c := range t.Columns {
		if c.Needed {
			names = append(names, headerExample(c))
		}
	}
	return strings.Join(names, ", ")
}

// rising checks that stations rise from row to row.
func (r *reading) rising(table string, n int, at func(int) (Ref, float64)) {
	for i := 1; i < n; i++ {
		before, last := at(i - 1)
		ref, station := at(i)
		switch {
		case station == last:
			r.wrong(ref, "station", fmt.Sprintf("the same station stands in row %d already", before.Row), "keep one of the rows")
		case station < last:
			r.wrong(ref, "station", fmt.Sprintf("is before the station of row %d", before.Row), "put the rows in order of station")
		}
	}
}

// reach is a stretch of stations; an end that is not given is infinite.
type reach struct{ from, to float64 }

func reachOf(from, to Number) reach {
	return reach{from.Or(math.Inf(-1)), to.Or(math.Inf(1))}
}

// apart reports whether two reaches share no more than an end.
func (a reach) apart(b reach) bool { return a.to <= b.from || b.to <= a.from }

// backwards reports a reach that ends before it begins.
func (r *reading) backwards(ref Ref, a reach) bool {
	if a.to <= a.from {
		r.wrong(ref, "to station", "is not beyond the `from station`", "swap the two or mend one")
		return true
	}
	return false
}
