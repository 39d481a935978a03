package workbook

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
	"github.com/damtally/damtally/internal/published"
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
	s = sampleSite() // the lab's figure in place of the fill tests
	s.Density = s.Density[1:7]
	s.Density = append(s.Density[:2:2], s.Density[3:]...)
	out["planned fill density"] = s
	s = sampleSite()
	s.Materials = append(s.Materials, site.Material{Name: "riprap", Source: "bought", PlacedDensity: yes(110 * pcf), Waste: yes(0.08)})
	s.Zones[1].Materials = []string{"riprap"}
	out["bought stone"] = s
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
	if !bytes.Contains(parts(t, written(t, r))["xl/worksheets/sheet1.xml"], []byte("LOOK: some figures are right")) {
		t.Error("the summary does not say so")
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

// hostile are texts that a user or a file may hold.
var hostile = []string{
	`=1+1`, `+1`, `-1+2`, `@SUM(A1)`, `=cmd|'/c calc'!A1`, "tab\there\x00\x07\nline", `<b>&amp;"'</b>`, "\xff\xfe broken",
	`core'!A1`, `[x]:*?/\`, strings.Repeat("long ", 9000), "", " ", "Summary", "soil 土 \U0001F69C",
}

// TestHostileText puts such texts everywhere that a user's text goes.
func TestHostileText(t *testing.T) {
	for _, words := range hostile {
		r := planned(t, sampleSite())
		r.Site.Settings.Name, r.Site.Settings.Currency = words, words
		r.Notes = append(r.Notes, site.Note{Level: "danger", Text: words, Source: words}, site.Note{Level: words, Text: words})
		for i := range r.Materials {
			r.Materials[i].Row.Name = words + strconv.Itoa(i)
		}
		for i := range r.Quantities.Zones {
			r.Quantities.Zones[i].Zone = words
		}
		for i := range r.Tests {
			r.Tests[i].Row.Material, r.Tests[i].Row.ID, r.Tests[i].Row.Zone = words+"0", words, words
		}
		for i := range r.Items {
			r.Items[i].Row.Item, r.Items[i].Row.Unit, r.Items[i].Unpaid = words, words, words
		}
		for i := range r.Checks {
			r.Checks[i].What = words
		}
		for sheet, cells := range cellsOf(t, written(t, r)) {
			for at, c := range cells {
				if len(words) > 3 && strings.Contains(words, "=") && c.Formula != "" && strings.Contains(c.Formula, words) {
					t.Errorf("%s!%s: %q is part of the formula %s", sheet, at, words, c.Formula)
				}
				if strings.ContainsAny(show(c), "\x00\x07\t\n") {
					t.Errorf("%s!%s holds control characters: %q", sheet, at, show(c))
				}
				if n := len([]rune(show(c))); n > 32767 {
					t.Errorf("%s!%s holds %d characters", sheet, at, n)
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
	bare.Balance, bare.Checks, bare.Items, bare.Tests, bare.Pits = nil, nil, nil, nil, nil
	for name, r := range map[string]*plan.Result{
		"nothing at all": {Quantities: earthwork.Quantities{Highest: -1}}, "one section without fill": bare, "32 materials": many,
	} {
		if len(cellsOf(t, written(t, r))) < 5 {
			t.Error(name, "has too few sheets")
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

// TestFactors holds the whole-number factors of the formulas against the units.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		system             units.System
		volume, bulk, land float64
	}{{units.US, 27, 2000, 43560}, {units.Metric, 1, 1000, 10000}} { // NIST Handbook 44, Appendix C
		m := newMeasures(c.system, "$")
		if m.perVolume != c.volume || m.perBulk != c.bulk || m.perLand != c.land {
			t.Errorf("%s: %g, %g, %g", c.system.Name, m.perVolume, m.perBulk, m.perLand)
		}
		near(t, "a volume", m.Volume.SI, c.volume*m.Area.SI*m.Length.SI)
		near(t, "a mass", m.Bulk.SI, c.bulk*m.Density.SI*m.Area.SI*m.Length.SI)
		near(t, "land", m.LandArea.SI, c.land*m.Area.SI)
	}
}

// TestFormulaText shows how expressions read as formulas, with brackets where a
// spreadsheet needs them.
func TestFormulaText(t *testing.T) {
	home, away := newSheet("Home"), newSheet("Zone it's")
	a, c := home.put(1, 1, number(6), lookWord), away.put(2, 28, number(4), lookWord)
	for _, x := range []struct {
		e    expr
		want string
		val  float64
	}{
		{sub(a.ref(), sub(c.ref(), number(1))), `A1-('Zone it''s'!AB2-1)`, 3},
		{div(mul(a.ref(), add(a.ref(), c.ref())), number(2)), `A1*(A1+'Zone it''s'!AB2)/2`, 30},
		{div(a.ref(), mul(c.ref(), number(0.5))), `A1/('Zone it''s'!AB2*0.5)`, 3},
		{when(less(a.ref(), c.ref()), number(1), number(2)), `IF(A1<'Zone it''s'!AB2,1,2)`, 2},
		{ifKnown(a.ref(), a.ref(), c.ref()), `IF(COUNT(A1,'Zone it''s'!AB2)=2,A1,"")`, 6},
		{span{home, 1, 1, 3}.sum(), `SUM(A1:A3)`, 6},
		{rounded(number(2.5), 0), `ROUND(2.5,0)`, 3},
	} {
		if got := x.e.write(home); got != x.want {
			t.Errorf("got %s, want %s", got, x.want)
		}
		if x.e.numeric() != x.val {
			t.Errorf("%s is %g, want %g", x.want, x.e.numeric(), x.val)
		}
	}
	if got := text(`say "yes"`).write(home); got != `"say ""yes"""` {
		t.Error(got)
	}
}

func TestSheetNames(t *testing.T) {
	used := map[string]bool{}
	for _, c := range [][2]string{
		{"Zone core", "Zone core"}, {"zone CORE", "zone CORE 2"}, {"'[a]:b*?/\\'=1", "a  b      1"}, {"", "Zone 4"},
		{strings.Repeat("x", 40), strings.Repeat("x", 31)}, {strings.Repeat("x", 40), strings.Repeat("x", 29) + " 2"},
		{strings.Repeat("\U00020000", 20), strings.Repeat("\U00020000", 15)},
	} {
		if got := sheetName(c[0], "Zone 4", used); got != c[1] {
			t.Errorf("%q gives %q, want %q", c[0], got, c[1])
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
