package workbook

import (
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// Trial strips stand on a sheet of their own, a row a number of passes; 104.5 pcf of a
// maximum near 110 is just 95 %.
func TestTrialsOnTheSheet(t *testing.T) {
	s := sampleSite()
	for i, dry := range []float64{90, 100, 106} {
		s.Density = append(s.Density, site.DensityTest{
			Ref: site.Ref{Table: "density", Row: 20 + i}, State: "trial", Material: "lean clay", DryDensity: yes(dry * pcf),
			Sample: "C-1", Machine: "padfoot roller", Passes: yes(float64(2 * i)),
		})
	}
	b := build(planned(t, s), "test")
	for _, f := range b.faults {
		t.Error("the formula does not give the plan's figure:", f)
	}
	row := rowWith(t, b.trials, 1, "Trial strips: percent compaction by machine and passes")
	row = rowWith(t, b.trials, row, "lean clay") + 2
	maxDry := b.samples[0].maxDry.numbers()[0]
	near(t, "passes", b.trials.at(row, 3).content.numeric(), 4)
	near(t, "compaction", b.trials.at(row, 5).content.numeric(), 106/maxDry)
	if n := b.trials.at(row, 9).content.numeric(); n != 4 && n != 3 {
		t.Errorf("%g passes", n)
	}
	if words := b.trials.at(row, 10).content.val.text; words != "reached in the strips" {
		t.Errorf("%q", words)
	}
	// Its chart holds the machine's line and what is required.
	charts := b.trialCharts()
	if len(charts) != 1 || len(charts[0].series) != 2 || charts[0].names[1] != "required" {
		t.Fatalf("%+v", charts)
	}
	for k, want := range []float64{90 / maxDry, 100 / maxDry, 106 / maxDry} {
		near(t, "drawn", charts[0].series[0].y.numbers()[k], want)
	}
}

// What is figured of a lot and of a trial strip follows the tests: their formulas name
// the tests' own cells, and percent within the limit is that of the quality index.
func TestLotsFollowTheTests(t *testing.T) {
	s := sampleSite()
	for i, dry := range []float64{104.2, 106, 105.1, 107.3} {
		s.Density = append(s.Density, site.DensityTest{
			Ref: site.Ref{Table: "density", Row: 30 + i}, State: "fill", Material: "lean clay", Zone: "core", Lift: "7", DryDensity: yes(dry * pcf), Sample: "C-1",
		})
	}
	b := build(planned(t, s), "test")
	for _, f := range b.faults {
		t.Error("the formula does not give the plan's figure:", f)
	}
	row := rowWith(t, b.tests, 1, "Percent compaction of the fill, by zone and lift")
	for ; row <= b.tests.lastRow(); row++ {
		if c := b.tests.at(row, 3); c != nil && c.content.val.text == "7" {
			break
		}
	}
	for col, want := range map[int]string{6: "COUNT(", 8: "AVERAGE(", 9: "STDEV(", 10: "MIN(", 11: "BETADIST("} {
		c := b.tests.at(row, col)
		if c == nil || c.content.plain || !strings.Contains(c.content.write(b.tests), want) {
			t.Errorf("column %d holds no %s", col, want)
		}
	}
	for _, l := range b.r.Lots {
		if l.Lift == "7" {
			near(t, "within the limit", b.tests.at(row, 11).content.numeric(), l.Within)
			near(t, "spread", b.tests.at(row, 9).content.numeric(), l.SD)
		}
	}
}
