package workbook

import (
	"math"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// layIntervals lays the confidence intervals of densities and factors.
func (b *book) layIntervals(row int, soils []int) int {
	s, m := b.materials, b.m
	if len(soils) == 0 {
		return row
	}
	row = s.table(row, "How sure the dry densities are",
		"95 % confidence intervals of the means by Student's t: mean x (1 +- t s / (mean x root of n)), from the tests that count. Few tests make them wide.",
		"Material", "Bank +-", in("Bank, from", m.Density), in("Bank, to", m.Density), "Loose +-", in("Loose, from", m.Density), in("Loose, to", m.Density),
		"Fill +-", in("Fill, from", m.Density), in("Fill, to", m.Density), "Spread taken from practice")
	halves := map[int][]*cell{}
	for _, i := range soils {
		row++
		s.put(row, 1, b.soil[i].name.ref(), lookWord)
		s.blankRow(row, 2, 11, lookWord)
		if spread := b.r.Materials[i].Spread; spread != nil {
			halves[i] = b.layInterval(row, i, spread)
			s.put(row, 11, text(assumedWords(spread)), lookWhy)
		}
	}
	row = s.table(row+2, "How sure the factors are",
		"A factor is a quotient of two means; their intervals join as the root of the sum of squares, on the logarithm.",
		"Material", "Shrink factor, from", "Shrink factor, to", "Swell, from", "Swell, to")
	for _, i := range soils {
		row++
		s.put(row, 1, b.soil[i].name.ref(), lookWord)
		s.blankRow(row, 2, 5, lookWord)
		if spread := b.r.Materials[i].Spread; spread != nil {
			b.layFactorIntervals(row, i, spread, halves[i])
		}
	}
	return row + 2
}

// layInterval lays the intervals of one material's densities, and returns the cells
// that hold half their widths, of bank, loose and fill, shares of the mean.
func (b *book) layInterval(row, i int, spread *plan.Spread) []*cell {
	s, m, c, f := b.materials, b.m, &b.soil[i], &b.r.Materials[i].Factors
	name := clean(b.r.Materials[i].Row.Name)
	half := make([]*cell, 3)
	for k, d := range []struct {
		interval *soil.Interval
		mean     *cell
		density  soil.Density
	}{{spread.BankDensity, c.bank, f.Bank}, {spread.LooseDensity, c.loose, f.Loose}, {spread.FillDensity, c.fill, f.Fill}} {
		if d.interval == nil {
			continue
		}
		width := number(d.interval.High/d.density.Value - 1)
		if d.density.From == soil.FromTests && d.density.N > 1 {
			width = b.live(b.halfWidth(d.mean, d.density.N), width, "interval of a density of "+name)
		}
		half[k] = s.put(row, 2+3*k, width, figure(formatShare))
		low := largest(number(0), mul(d.mean.ref(), sub(number(1), half[k].ref())))
		s.put(row, 3+3*k, b.live(ifKnown(low, half[k].ref()), m.densityOf(d.interval.Low), "least density of "+name), figure(m.density()))
		high := mul(d.mean.ref(), add(number(1), half[k].ref()))
		s.put(row, 4+3*k, b.live(ifKnown(high, half[k].ref()), m.densityOf(d.interval.High), "most density of "+name), figure(m.density()))
	}
	return half
}

// layFactorIntervals lays the intervals of one material's factors.
func (b *book) layFactorIntervals(row, i int, spread *plan.Spread, half []*cell) {
	s, c, name := b.materials, &b.soil[i], clean(b.r.Materials[i].Row.Name)
	ends := func(col int, interval *soil.Interval, value expr, less float64, second *cell) {
		if interval == nil {
			return
		}
		squares := add(mul(half[0].ref(), half[0].ref()), mul(second.ref(), second.ref()))
		both := call("SQRT", num(math.Sqrt(squares.numeric())), squares)
		for k, end := range []struct {
			way  expr
			want float64
		}{{sub(number(0), both), interval.Low}, {both, interval.High}} {
			at := mul(value, call("EXP", num(math.Exp(end.way.numeric())), end.way))
			if less != 0 {
				at = sub(at, number(less))
			}
			s.put(row, col+k, b.live(ifKnown(at, half[0].ref(), second.ref()), number(end.want), "interval of a factor of "+name), figure(formatFactor))
		}
	}
	ends(2, spread.Factors.Shrink, c.shrink.ref(), 0, half[2])
	ends(4, spread.Factors.Swell, add(number(1), c.swell.ref()), 1, half[1])
}

// unsure is the share of intervals that miss the mean.
const unsure = 0.05

// halfWidth is half the width of a mean's interval as a share of the mean, from the
// number of tests, planned, and their spread, which stand beside the mean.
func (b *book) halfWidth(mean *cell, planned int) expr {
	n, sd := b.materials.at(mean.row, mean.col+1), b.materials.at(mean.row, mean.col+2)
	t := call("TINV", num(soil.StudentT(1-unsure/2, float64(planned-1))), number(unsure), sub(n.ref(), number(1)))
	root := call("SQRT", num(math.Sqrt(n.content.numeric())), n.ref())
	return when(all(known(sd.ref()), atLeast(n.ref(), number(2))), div(mul(t, sd.ref()), mul(mean.ref(), root)), blank())
}

// assumedWords names the states whose spread is stated practice.
func assumedWords(spread *plan.Spread) string {
	var words []string
	for _, a := range spread.Assumed {
		words = append(words, string(a))
	}
	return strings.Join(words, ", ")
}

// layRanges lays what the bank and loose volumes may come to. The ends are the
// planned shares of the volumes beside them, so they follow the dam.
func (b *book) layRanges(row int, soils []int) int {
	s, m := b.materials, b.m
	ranged := false
	for _, i := range soils {
		spread := b.r.Materials[i].Spread
		ranged = ranged || spread != nil && (spread.Bank != nil || spread.Loose != nil)
	}
	if !ranged {
		return row
	}
	row = s.table(row, "How sure the volumes are: density tests only",
		"1 in 10 lies below the low and 1 in 10 above the high figure, by random draws of the mean densities. Layer thickness, survey and loss are not in it. The other way is first-order propagation. How far the ends lie from the volume is as planned: they follow the volume, not changes of the tests.",
		"Material", m.vol("bank")+" to dig", "Low, "+m.vol("bank"), "High, "+m.vol("bank"), "Low the other way", "High the other way",
		m.vol("loose")+" to haul", "Low, "+m.vol("loose"), "High, "+m.vol("loose"), "Driven most by", "Chance that the pits hold the need", "Tests to buy next")
	for _, i := range soils {
		row++
		b.layRange(row, i)
	}
	return row + 2
}

func (b *book) layRange(row, i int) {
	s, m, c, mat := b.materials, b.m, &b.soil[i], &b.r.Materials[i]
	name := clean(mat.Row.Name)
	s.put(row, 1, c.name.ref(), lookWord)
	s.blankRow(row, 2, 12, lookWord)
	if mat.Spread == nil {
		return
	}
	lay := func(col int, volume *cell, planned, end float64, what string) *cell {
		share := mul(volume.ref(), number(end/planned))
		return s.put(row, col, b.live(ifKnown(share, volume.ref()), m.volumeOf(end), what+" of "+name), figure(formatVolume))
	}
	if r := mat.Spread.Bank; r != nil {
		s.put(row, 2, ifKnown(c.bankVolume.ref(), c.bankVolume.ref()), figure(formatVolume))
		c.bankLow = lay(3, c.bankVolume, mat.Bank, r.Low, "low bank volume")
		c.bankHigh = lay(4, c.bankVolume, mat.Bank, r.High, "high bank volume")
		lay(5, c.bankVolume, mat.Bank, r.FirstLow, "low bank volume to first order")
		lay(6, c.bankVolume, mat.Bank, r.FirstHigh, "high bank volume to first order")
	}
	if r := mat.Spread.Loose; r != nil {
		s.put(row, 7, ifKnown(c.looseVol.ref(), c.looseVol.ref()), figure(formatVolume))
		lay(8, c.looseVol, mat.Loose, r.Low, "low loose volume")
		lay(9, c.looseVol, mat.Loose, r.High, "high loose volume")
	}
	if d := mat.Spread.Drivers; len(d) > 0 {
		s.put(row, 10, text(string(d[0].State)+" density, "+shareWords(d[0].Share)), lookWord)
	}
	for _, l := range b.r.Balance {
		if l.Material == mat.Row.Name && l.Chance != nil {
			s.put(row, 11, number(*l.Chance), figure(formatChance))
		}
	}
	s.put(row, 12, text(purchaseWords(mat.Spread.Next)), lookWhy)
}

// shareWords writes a share in percent, to a tenth.
func shareWords(share float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(100*share, 'f', 1, 64), ".0") + " %"
}

// purchaseWords says which tests to buy next.
func purchaseWords(p *plan.Purchase) string {
	if p == nil {
		return ""
	}
	where := ""
	if p.Pit != "" {
		where = " in pit " + clip(clean(p.Pit), 40)
	}
	return itoa(p.Tests) + " " + string(p.State) + " tests" + where + ": from +-" + shareWords(p.Before) + " to +-" + shareWords(p.After)
}
