package workbook

import (
	"bytes"
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// reconciled is the reconciliation of a site.
func reconciled(t *testing.T, s site.Site) *plan.Result {
	t.Helper()
	job, err := plan.Prepare(s)
	if err != nil {
		t.Fatal(err)
	}
	r, err := job.Reconcile(job.Design())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func reconciliationBook(t *testing.T, r *plan.Result) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteReconciliation(&b, r, "test"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const seasonSite = "season"

// TestReconciliationFormulas: every formula gives the figure that the plan has, in
// feet and in metres, with typed factors, and with parts missing.
func TestReconciliationFormulas(t *testing.T) {
	for name, s := range seasons(t) {
		for _, f := range buildReconciliation(reconciled(t, s), "test").faults {
			t.Errorf("%s: the formula does not give the plan's figure: %s", name, f)
		}
	}
}

// seasons are the invented season and what is left of it without some parts.
func seasons(t *testing.T) map[string]site.Site {
	out := map[string]site.Site{}
	change := func(name string, edit func(*site.Site)) {
		s := readSite(t, seasonSite)
		edit(&s)
		out[name] = s
	}
	change("whole", func(*site.Site) {})
	change("metres", func(s *site.Site) { s.Settings.OutputUnits = "metric" })
	change("loads alone", func(s *site.Site) { s.Surfaces = nil })
	change("surveys alone", func(s *site.Site) { s.Loads = nil })
	change("no base, no stripped pits", func(s *site.Site) {
		var kept []site.SurfaceFile
		for _, f := range s.Surfaces {
			if f.Use == "fill survey" || f.Use == "pit survey" {
				kept = append(kept, f)
			}
		}
		s.Surfaces = kept
	})
	change("factors typed", func(s *site.Site) {
		s.Density, s.Proctor = nil, nil
		for i := range s.Materials {
			s.Materials[i].ShrinkFactor, s.Materials[i].Swell = site.Number{Value: 0.93, Given: true}, site.Number{Value: 0.2, Given: true}
		}
	})
	change("nothing known of the soil", func(s *site.Site) { s.Materials, s.Density, s.Proctor = nil, nil, nil })
	change("a pit surveyed early", func(s *site.Site) {
		for i := range s.Surfaces {
			if s.Surfaces[i].Name == "Knoll end of July" {
				s.Surfaces[i].Date = "2026-07-15"
			}
		}
	})
	change("a fill surveyed early", func(s *site.Site) { s.Surfaces = s.Surfaces[:len(s.Surfaces)-1] })
	return out
}

// TestReconciliationInLibreOffice works the workbooks out again in another
// program, as they are and with cells changed as a user would.
func TestReconciliationInLibreOffice(t *testing.T) {
	r := reconciled(t, readSite(t, seasonSite))
	b, book := buildReconciliation(r, "test"), reconciliationBook(t, r)
	sand := &b.soils[1]
	edit := func(p at, value string) []byte { return withCell(t, book, p.sheet, p.cell, value) }
	cellOf := func(c *cell) at { return placeOf(c) }
	capacity := at{"Truck tally", address(b.counted.loads.from, tallyLoads)}
	books := map[string][]byte{
		"plain": book, "planted": edit(cellOf(sand.loose), "1"),
		"loads": edit(capacity, "100"), "rough": edit(cellOf(b.accuracy.capacity), "0.2"),
	}
	others := map[string]site.Site{}
	for _, name := range []string{"metres", "factors typed", "no base, no stripped pits"} { // the rest differ in values alone
		others[name] = seasons(t)[name]
	}
	for name, s := range others {
		books[name] = reconciliationBook(t, reconciled(t, s))
	}
	got := recalculate(t, books)
	sameValues(t, "plain", cellsOf(t, book), got["plain"])
	sameValues(t, "planted", cellsOf(t, book), got["planted"])
	for name := range others {
		sameValues(t, name, cellsOf(t, books[name]), got[name])
	}
	// 100 loads in place of those of the first row, each of the same volume.
	was := r.Reconciliation.Loads[0]
	soil := &b.soils[0]
	if b.rec.Soils[0].Material != was.Material {
		soil = &b.soils[1]
	}
	more := b.m.Volume.FromSI(was.Loose * (100/was.Row.Loads - 1))
	near(t, "the tally after one row", numberAt(t, got["loads"], cellOf(soil.loose)), soil.loose.content.val.num+more)
	// With a capacity known to 20 % alone, nothing is beyond error any more.
	if n := countText(got["plain"]["Reconciliation"], beyondError); n == 0 {
		t.Error("the invented season shows nothing beyond error")
	}
	if n := countText(got["rough"]["Reconciliation"], beyondError); n != 0 {
		t.Errorf("%d verdicts beyond error with a tally known to 20 %%", n)
	}
}

func countText(cells map[string]stored, words string) int {
	n := 0
	for _, c := range cells {
		if show(c) == words {
			n++
		}
	}
	return n
}

// TestReconciliationBytes: the same result gives the same bytes.
func TestReconciliationBytes(t *testing.T) {
	one := reconciliationBook(t, reconciled(t, readSite(t, seasonSite)))
	two := reconciliationBook(t, reconciled(t, readSite(t, seasonSite)))
	if !bytes.Equal(one, two) {
		t.Error("two workbooks of one site differ")
	}
}

// TestHalfAgrees: the formula of the half width is that of the package borrow.
func TestHalfAgrees(t *testing.T) {
	s := newSheet("x")
	put := func(row int, share, df float64) errorCells {
		e := errorCells{share: s.put(row, 1, number(share), lookText)}
		if df > 0 {
			e.df = s.put(row, 2, number(df), lookText)
		}
		return e
	}
	if got, want := half([]errorCells{put(1, 0.02, 0)}).numeric(), 0.02*1.959963984540054; math.Abs(got-want) > 1e-12 {
		t.Errorf("known error: %v, want %v", got, want)
	}
	// Student's t of 4 degrees of freedom at 97.5 %: 2.776 (any table).
	if got := half([]errorCells{put(2, 0.01, 4)}).numeric(); math.Abs(got-0.01*2.776) > 0.01*0.0005 {
		t.Errorf("four degrees of freedom: %v", got)
	}
}
