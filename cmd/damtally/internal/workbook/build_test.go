package workbook

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
	"github.com/damtally/damtally/testdata/published"
)

// variants are sites that the workbook must show in full: every figure a formula
// that gives the plan's own.
func variants() map[string]site.Site {
	out := map[string]site.Site{"us": sampleSite(), "metric": metric(sampleSite())}
	for _, basis := range []earthwork.Basis{earthwork.OnVolume, earthwork.OnHeightToesKept} {
		s := sampleSite()
		s.Settings.AllowanceBasis = string(basis)
		out["allowance on "+string(basis)] = s
	}
	s := sampleSite()
	s.Settings.CrestIs = "built"
	out["crest as built"] = s
	s = sampleSite()
	s.Settings.ReserveOn, s.Settings.ReserveRatio = "bank", 1.2
	out["reserve on bank"] = s
	s = sampleSite()
	s.Settings.Allowance, s.Settings.CrestIs = site.Number{}, ""
	out["no allowance"] = s
	s = sampleSite()
	s.Pits = nil
	out["no pits"] = s
	s = sampleSite()
	s.Materials, s.Proctor, s.Density, s.Prices, s.Pits, s.Zones = nil, nil, nil, nil, nil, nil
	out["compacted volumes alone"] = s
	s = sampleSite()
	s.Materials[1].Swell = site.Number{}
	out["no swell"] = s
	s = sampleSite()
	for i := range s.Proctor {
		s.Proctor[i].OversizeFraction, s.Proctor[i].OversizeGravity = yes(0.2), yes(2.65)
	}
	s.Density[0].OversizeFraction = yes(0.12)
	out["oversize"] = s
	s = sampleSite()
	s.Materials[0].WaterLow, s.Materials[0].WaterHigh = yes(0.005), site.Number{}
	s.Density[7].State = "trial"
	out["trial and a single end of the window"] = s
	s = sampleSite()
	s.Materials[0].WaterLow, s.Materials[0].WaterHigh = site.Number{}, yes(-0.01)
	out["dry of optimum"] = s
	s = sampleSite() // the lab's figure in place of the fill tests
	s.Density = s.Density[1:7]
	s.Density = append(s.Density[:2:2], s.Density[3:]...)
	out["planned fill density"] = s
	s = sampleSite()
	s.Materials = append(s.Materials, site.Material{Name: "riprap", Source: "bought", PlacedDensity: yes(110 * pcf), Waste: yes(0.08)})
	s.Zones[1].Materials = []string{"riprap"}
	out["bought stone"] = s
	out["short of borrow"] = shortSite()
	return out
}

func TestEveryFigureFollows(t *testing.T) {
	for name, s := range variants() {
		t.Run(name, func(t *testing.T) {
			b := build(planned(t, s), "test")
			for _, f := range b.faults {
				t.Error("the formula does not give the plan's figure:", f)
			}
			near(t, "total", b.fill.all.content.numeric(), b.m.Volume.FromSI(b.r.Quantities.Total))
		})
	}
}

// TestPlanWins shows that a figure which the formulas do not repeat stands as
// the plan gave it, and that the summary says so.
func TestPlanWins(t *testing.T) {
	r := planned(t, sampleSite())
	r.Quantities.Zones[0].Compacted *= 1.01
	b := build(r, "test")
	if len(b.faults) == 0 {
		t.Fatal("nothing was found")
	}
	c := b.zone[0].compacted
	if !c.content.plain {
		t.Error("a formula stands although it gives another figure")
	}
	near(t, "zone", c.content.numeric(), b.m.Volume.FromSI(r.Quantities.Zones[0].Compacted))
	all := parts(t, written(t, r))
	if !bytes.Contains(all[sheetParts(t, all)["Summary"]], []byte("LOOK: some figures are right")) {
		t.Error("the summary does not say so")
	}
}

// TestSites does the same for the sites that the project shows.
func TestSites(t *testing.T) {
	for _, name := range exampleSites {
		b := build(planned(t, readSite(t, name)), "test")
		for _, f := range b.faults {
			t.Errorf("%s: the formula does not give the plan's figure: %s", name, f)
		}
		near(t, name, b.fill.all.content.numeric(), b.m.Volume.FromSI(b.r.Quantities.Total))
	}
}

// TestFits sees that every figure has room in its column and that no two merged
// cells lie on each other, which would make a file that cannot be opened.
func TestFits(t *testing.T) {
	for name, site := range variants() {
		for _, s := range build(planned(t, site), "test").sheets() {
			for row := 1; row <= s.lastRow(); row++ {
				free := 1
				for col := 1; col <= s.lastCol; col++ {
					c := s.at(row, col)
					if c == nil {
						continue
					}
					if c.content.val.kind == isNumber && float64(len(c.shownAs()))+0.5 > s.width(col) {
						t.Errorf("%s: %s!%s: %s does not fit in %.1f", name, s.name, address(row, col), c.shownAs(), s.width(col))
					}
					if c.across > 1 {
						if col < free {
							t.Errorf("%s: %s!%s lies on another merged cell", name, s.name, address(row, col))
						}
						free = col + c.across
					}
				}
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	first := written(t, planned(t, sampleSite()))
	for range 5 {
		if !bytes.Equal(first, written(t, planned(t, sampleSite()))) {
			t.Fatal("the same site gave other bytes")
		}
	}
}

// TestCells walks every cell of every variant as it stands in the file.
func TestCells(t *testing.T) {
	reference := regexp.MustCompile(`(?:'([^']+)'|\b([A-Za-z]+))!([A-Z]+[0-9]+)`)
	for name, s := range variants() {
		book := cellsOf(t, written(t, planned(t, s)))
		for sheet, cells := range book {
			for at, c := range cells {
				where := name + ": " + sheet + "!" + at
				shown := show(c)
				if low := strings.ToLower(shown); low == "nan" || strings.Contains(low, "+inf") || strings.Contains(low, "#n") || strings.HasPrefix(low, "#") {
					t.Errorf("%s shows %q", where, shown)
				}
				if c.Formula == "" {
					continue
				}
				if c.Value == nil {
					t.Errorf("%s has no stored value", where)
				}
				if len(c.Formula) > 8000 { // xlsx allows 8,192
					t.Errorf("%s is %d characters long", where, len(c.Formula))
				}
				for _, ref := range reference.FindAllStringSubmatch(c.Formula, -1) {
					if _, ok := book[ref[1]+ref[2]][ref[3]]; !ok {
						t.Errorf("%s =%s points at an empty place", where, c.Formula)
					}
				}
				for _, literal := range regexp.MustCompile(`"[^"]*"`).FindAllString(c.Formula, -1) {
					if len(literal) > 257 {
						t.Errorf("%s holds a text of %d characters", where, len(literal)-2)
					}
				}
			}
		}
	}
}

// TestExtremes writes results that are empty, huge or odd.
func TestExtremes(t *testing.T) {
	many := planned(t, sampleSite())
	for i := range 30 {
		m := many.Materials[i%2]
		m.Row.Name, m.Shares, m.Compacted, m.Bank, m.Loose = "soil "+itoa(i), nil, 0, 0, 0
		many.Materials = append(many.Materials, m)
	}
	bare := planned(t, sampleSite())
	bare.Quantities = earthwork.Quantities{Highest: -1, Sections: []earthwork.Section{{At: earthwork.On}}, Zones: []earthwork.ZoneVolume{{Zone: "fill"}}}
	bare.Materials = []plan.Material{{Row: site.Material{Name: "fill"}, Bank: math.NaN(), Loose: math.NaN(), Factors: soil.Factors{}}}
	bare.Balance, bare.Checks, bare.Items, bare.Tests, bare.Pits, bare.Lifts = nil, nil, nil, nil, nil, nil
	for name, r := range map[string]*plan.Result{
		"nothing at all": {Quantities: earthwork.Quantities{Highest: -1}}, "one section without fill": bare, "32 materials": many,
	} {
		if len(cellsOf(t, written(t, r))) < 5 {
			t.Error(name, "has too few sheets")
		}
	}
}

// TestUnknownIsBlank shows that what is not known is no zero.
func TestUnknownIsBlank(t *testing.T) {
	b := build(planned(t, variants()["compacted volumes alone"]), "test")
	for what, c := range map[string]*cell{"bank": b.dug.bank, "loose": b.dug.loose, "needed": b.weighed[0].needed, "available": b.weighed[0].available, "dry mass": b.soil[0].inDam} {
		if c.content.val.kind != isBlank {
			t.Errorf("%s volume shows %q", what, c.shownAs())
		}
	}
	if got := b.weighed[0].enough.shownAs(); got != "not known" {
		t.Errorf("enough is %q", got)
	}
	b = build(planned(t, variants()["no swell"]), "test")
	want := b.m.Volume.FromSI(b.r.Materials[0].Loose)
	near(t, "loose volume of the material that has a swell", b.dug.loose.content.numeric(), want)
	if got := b.lacking(b.dug.loose, []int{0, 1}, "swell"); got == "" {
		t.Error("nothing says that a material is left out")
	}
}

// TestNoNaN puts what is no number into a result: the cells say so in words.
func TestNoNaN(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1)} {
		r := planned(t, sampleSite())
		r.Quantities.Sections[3].Zones[1].Neat.Area = bad
		r.Materials[0].Bank, r.Pits[0].Capacity.Area, r.Tests[0].DryDensity, r.Items[0].Quantity = bad, bad, bad, bad
		for sheet, cells := range cellsOf(t, written(t, r)) {
			for at, c := range cells {
				if low := strings.ToLower(show(c)); low == "nan" || strings.Contains(low, "inf") && len(low) < 6 {
					t.Errorf("%s!%s shows %q", sheet, at, show(c))
				}
			}
		}
	}
}

// TestManySections writes a long dam in good time.
func TestManySections(t *testing.T) {
	s := sampleSite()
	s.Settings.SectionInterval = yes(480 * ft / 400)
	r := planned(t, s)
	if len(r.Quantities.Sections) < 300 {
		t.Fatalf("%d sections", len(r.Quantities.Sections))
	}
	start := time.Now()
	b := build(r, "test")
	if len(b.faults) > 0 {
		t.Error(b.faults)
	}
	written(t, r)
	t.Logf("%d sections in %v", len(r.Quantities.Sections), time.Since(start))
}

// TestHandbook holds the workbook against the worked example of US Department of
// Agriculture Handbook 590 (read second hand, see the source lines of the file):
// 7,029 yd3 with rounded areas, 7,030.27 unrounded, each reach to 0.01 yd3.
func TestHandbook(t *testing.T) {
	s := site.Site{Settings: site.Settings{
		Name: "Handbook example", OutputUnits: "us", CrestIs: "settled", Allowance: yes(0.1), AllowanceBasis: "volume",
		ReserveRatio: 1.5, ReserveOn: "compacted", ExtendGround: "no",
	}}
	rows := published.Read(t, "dam/ah590-fill-volume-by-stations.csv")
	for _, row := range rows {
		s.Profile = append(s.Profile, site.ProfilePoint{Station: row.Number(t, "station_ft") * ft, Elevation: row.Number(t, "ground_elev_ft") * ft})
	}
	s.Crest = []site.CrestPoint{{Elevation: 35 * ft, Width: 12 * ft}}
	s.Faces = []site.FacePart{{Side: "upstream", Slope: 3}, {Side: "downstream", Slope: 3}}
	b := build(planned(t, s), "test")
	if len(b.faults) > 0 {
		t.Fatal(b.faults)
	}
	for i, row := range rows {
		c := b.volumes.at(rowFirst+i, volEndArea)
		if !row.Has("exact_volume_yd3") {
			continue
		}
		if got, want := c.content.numeric(), row.Number(t, "exact_volume_yd3"); math.Abs(got-want) > 0.01 {
			t.Errorf("reach to %s: %.3f yd3, published data give %.2f", row["station"], got, want)
		}
	}
	for what, v := range map[string][2]float64{
		"neat fill":            {b.fill.neat.content.numeric(), 7030.27},
		"allowance on volume":  {b.fill.volume.content.numeric(), 703.03},
		"with the allowance":   {b.fill.all.content.numeric(), 7733.30},
		"allowance, toes kept": {b.fill.toes.content.numeric(), 703.03},
	} {
		if math.Abs(v[0]-v[1]) > 0.01 {
			t.Errorf("%s: %.3f, want %.2f", what, v[0], v[1])
		}
	}
}

// failing is a writer that takes n bytes.
type failing struct{ n int }

func (f *failing) Write(p []byte) (int, error) {
	if f.n -= len(p); f.n < 0 {
		return 0, fmt.Errorf("full")
	}
	return len(p), nil
}

func TestWriterFails(t *testing.T) {
	if err := Write(&failing{100}, planned(t, sampleSite()), "test"); err == nil {
		t.Error("no error from a full disk")
	}
}
