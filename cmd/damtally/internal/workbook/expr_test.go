package workbook

import (
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

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
