package workbook

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/earthwork/soil"
)

// The range on the sheet is the plan's, in the sheet's unit, and holds the volume.
func TestRangesOnTheSheet(t *testing.T) {
	b := build(planned(t, sampleSite()), "test")
	c, m := &b.soil[0], &b.r.Materials[0]
	if m.Spread.Bank == nil || c.bankLow == nil {
		t.Fatal("no range")
	}
	near(t, "low", c.bankLow.content.numeric(), b.m.Volume.FromSI(m.Spread.Bank.Low))
	near(t, "high", c.bankHigh.content.numeric(), b.m.Volume.FromSI(m.Spread.Bank.High))
	if low, now, high := c.bankLow.content.numeric(), c.bankVolume.content.numeric(), c.bankHigh.content.numeric(); !(low < now && now < high) {
		t.Errorf("%g, %g, %g", low, now, high)
	}
	if b.soil[1].bankLow != nil {
		t.Error("a range of a typed factor")
	}
}

// rowWith is the first row of a sheet at or after one whose first cell has the text.
func rowWith(t *testing.T, s *sheet, from int, words string) int {
	t.Helper()
	for row := from; row <= s.lastRow(); row++ {
		if c := s.at(row, 1); c != nil && c.content.val.text == words {
			return row
		}
	}
	t.Fatalf("no row %q on %s", words, s.name)
	return 0
}

// Water on the sheet, by hand: US gallons of 231 in3 and water of 998.2 kg/m3, so
// 8.330 lb a gallon; 27 ft3 to the yd3.
func TestWaterOnTheSheet(t *testing.T) {
	b := build(planned(t, sampleSite()), "test")
	s := b.materials
	row := rowWith(t, s, rowWith(t, s, 1, "Water between pit and lift"), "lean clay")
	c := &b.soil[0]
	lacks := s.at(row, 4).content.numeric() - s.at(row, 2).content.numeric()
	gallon := soil.WaterDensity * 231 * math.Pow(0.0254, 3) / 0.45359237 // lb
	if math.Abs(gallon-8.330) > 0.001 {
		t.Errorf("a gallon is %g lb", gallon)
	}
	near(t, "per bank yd3", s.at(row, 6).content.numeric(), c.bank.content.numeric()*27*lacks/gallon)
	near(t, "for the dam", s.at(row, 8).content.numeric(), c.compacted.content.numeric()*27*c.fill.content.numeric()*lacks/gallon)
	if answer := s.at(row, 10).content.val.text; answer != "yes" && answer != "TOO WET" {
		t.Errorf("answer %q", answer)
	}
}

// The lots stand below the tests, and count what the plan counts.
func TestLotsOnTheSheet(t *testing.T) {
	b := build(planned(t, sampleSite()), "test")
	row := rowWith(t, b.tests, 1, "Percent compaction of the fill, by zone and lift")
	row = rowWith(t, b.tests, row, "lean clay")
	lot := b.r.Lots[0]
	for col, want := range map[int]float64{4: float64(lot.Done), 6: float64(lot.N), 7: float64(lot.Failed), 8: lot.Mean, 10: lot.Lowest} {
		near(t, "column "+itoa(col), b.tests.at(row, col).content.numeric(), want)
	}
}

func TestPurchaseWords(t *testing.T) {
	b := build(planned(t, sampleSite()), "test")
	next := b.r.Materials[0].Spread.Next
	words := purchaseWords(next)
	if next == nil || !strings.Contains(words, "3 ") || !strings.Contains(words, "+-") || purchaseWords(nil) != "" {
		t.Errorf("%q of %+v", words, next)
	}
}

// Typical factors are marked where they are used and on the summary.
func TestTypicalIsMarked(t *testing.T) {
	s := sampleSite()
	s.Density, s.Materials[0].TypicalFactors = nil, true
	b := build(planned(t, s), "test")
	for _, f := range b.faults {
		t.Error("the formula does not give the plan's figure:", f)
	}
	row := rowWith(t, b.materials, rowWith(t, b.materials, 1, "Factors between the states"), "lean clay")
	if words := b.materials.at(row, 3).content.val.text; words != "TYPICAL, not tested" {
		t.Errorf("%q", words)
	}
	marked := false
	for row := 1; row <= b.summary.lastRow(); row++ {
		if c := b.summary.at(row, 1); c != nil && strings.Contains(c.content.val.text, "typical of clay, not tested") {
			marked = true
		}
	}
	if !marked {
		t.Error("the summary does not say so")
	}
}
