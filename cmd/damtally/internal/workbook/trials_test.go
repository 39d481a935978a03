package workbook

import (
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
}
