package workbook

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/earthwork/soil"
)

// errorCells are a standard error as a share, and the degrees of freedom behind
// it; df is nil for an error that is known. factor, where it is not nil, is how
// strongly the error stands in a figure.
type errorCells struct{ share, df, factor *cell }

// squared is the variance that the error brings in.
func (e errorCells) squared() expr {
	if e.factor != nil {
		return square(mul(e.factor.ref(), e.share.ref()))
	}
	return square(e.share.ref())
}

// accuracyCells are the yellow cells that say how far off measuring may be.
type accuracyCells struct {
	shift, point, strip, capacity, scatter, scale, water, loss, typed *cell
}

// stateCells are the densities of one soil and what stays of what is dug.
type stateCells struct {
	bank, loose, fill      *cell
	bankSE, looseSE, fill2 errorCells
	loss, kept             *cell
	keptSE                 errorCells
	relative               bool
}

// layErrors lays how far off each way of measuring may be, and the densities.
func (b *reconBook) layErrors() {
	const across = 9
	row := b.errors.opening("Densities and errors", across,
		"What the comparisons rest on. Yellow cells are yours to change; every verdict follows them.",
		"An error here is a standard deviation: one in three is larger, one in twenty is larger than twice as much.") + 1
	row = b.layAccuracy(row)
	b.layStateDensities(row, b.layDensityTests(row+4*len(b.rec.Soils)+4))
}

// layAccuracy lays the assumed errors.
func (b *reconBook) layAccuracy(row int) int {
	s, m, a := b.errors, b.m, b.rec.Assumed
	row = s.table(row, "How far off measuring may be", "Common practice, not measured on this job. Put in your own where you know better.", "Error of", "Standard deviation", "Unit", "What it is")
	length := m.Length.Name
	for _, l := range []struct {
		to     **cell
		name   string
		value  expr
		format string
		unit   string
		what   string
	}{
		{&b.accuracy.shift, "a whole survey, in elevation", m.lengthOf(a.Shift), "0.000", length, "Benchmark and height of the instrument. It does not average out."},
		{&b.accuracy.point, "a single point", m.lengthOf(a.Point), "0.000", length, "Reading and rough ground between points. It averages out over many points."},
		{&b.accuracy.strip, "topsoil that was not surveyed", m.lengthOf(a.Strip), "0.000", length, "Where the depth of stripping stands for a survey."},
		{&b.accuracy.capacity, "the capacity of a truck", number(a.TruckFill), formatShare, "of the volume", "All trucks alike. How full they were is not in it: that is what the comparison finds."},
		{&b.accuracy.scatter, "the filling of a single load", number(a.LoadScatter), formatShare, "of the volume", "It averages out over many loads."},
		{&b.accuracy.scale, "the scale", number(a.Scale), formatShare, "of the weight", ""},
		{&b.accuracy.water, "the water content of what was weighed", number(a.Water), formatShare, "of the dry weight", "Points of water content."},
		{&b.accuracy.loss, "the loss", number(a.Loss), formatShare, "of the loss", "Loss is rarely measured."},
		{&b.accuracy.typed, "a typed factor", number(a.Typed), formatShare, "of the factor", "Where a shrink factor or swell was typed and not tested."},
	} {
		row++
		s.put(row, 1, text(l.name), lookText)
		*l.to = s.put(row, 2, l.value, input(l.format))
		s.put(row, 3, text(l.unit), lookText)
		s.line(row, 4, 6, l.what, lookExplain)
	}
	s.widths[1] = 34
	return row + 2
}

// testSpans are the rows of the density tests by soil and state.
type testSpans map[int]map[soil.State]span

// layDensityTests lays the tests behind the means from a row on, and returns
// where those of each soil stand.
func (b *reconBook) layDensityTests(row int) testSpans {
	s, m := b.errors, b.m
	out := testSpans{}
	row = s.table(row, "The tests behind the densities", "Tests that a retest replaces are left out.", "Material", "State", "Test", "Date", in("Dry density", m.Density))
	for i := range b.rec.Soils {
		material := b.rec.Soils[i].Material
		out[material] = map[soil.State]span{}
		for _, state := range []soil.State{soil.Bank, soil.Loose, soil.Fill} {
			at := span{s, 5, row + 1, row}
			for _, t := range b.r.Tests {
				if t.Row.State != string(state) || t.Row.Material != b.r.Materials[material].Row.Name || t.Replaced {
					continue
				}
				row++
				s.put(row, 1, text(b.soilName(material)), lookWord)
				s.put(row, 2, text(string(state)), lookWord)
				s.put(row, 3, text(clean(t.Row.ID)), lookWord)
				s.put(row, 4, text(t.Row.Date), lookWord)
				s.put(row, 5, m.densityOf(t.DryDensity), input(m.density()))
			}
			at.to = row
			out[material][state] = at
		}
	}
	return out
}

// layStateDensities lays the mean densities with their errors.
func (b *reconBook) layStateDensities(row int, tests testSpans) {
	s, m := b.errors, b.m
	row = s.table(row, "Mean dry densities",
		"Error of the mean = sqrt of (4 x usual spread^2 + (n - 1) x spread^2) / (3 + n) / n: a few tests are weighed with what is usual for such tests. Degrees of freedom are for Student's t.",
		"Material and state", "From", in("Mean", m.Density), "Tests", "Spread of single tests", "Usual spread", "Error of the mean", "Degrees of freedom")
	for i := range b.rec.Soils {
		account := &b.rec.Soils[i]
		material := account.Material
		c := &stateCells{relative: account.Relative()}
		b.states[material] = c
		f := b.r.Materials[material].Factors
		for _, l := range []struct {
			state   soil.State
			density soil.Density
			season  borrow.Measured
			mean    **cell
			off     *errorCells
		}{
			{soil.Bank, f.Bank, account.Season.Bank, &c.bank, &c.bankSE},
			{soil.Loose, f.Loose, account.Season.Loose, &c.loose, &c.looseSE},
			{soil.Fill, f.Fill, account.Season.Placed, &c.fill, &c.fill2},
		} {
			row++
			b.layStateDensity(row, b.soilName(material), l.state, l.density, l.season, tests[material][l.state], l.mean, l.off, c.relative)
		}
		row++
		s.put(row, 1, text(b.soilName(material)+", loss"), lookWord)
		s.put(row, 2, text("typed"), lookWord)
		kept := account.Season.Kept
		c.loss = s.put(row, 3, number(1-kept.Value), input(formatShare))
		c.kept = s.put(row, 4, sub(number(1), c.loss.ref()), figure(formatFactor))
		s.put(row, 5, text("is kept"), lookWhy)
		s.put(row, 6, blank(), lookWord)
		off := div(mul(b.accuracy.loss.ref(), c.loss.ref()), c.kept.ref())
		c.keptSE.share = s.put(row, 7, b.live(off, number(kept.Error()), "error of the loss of "+b.soilName(material)), figure(formatShare))
		s.put(row, 8, blank(), lookWord)
	}
}

// layStateDensity lays one mean density.
func (b *reconBook) layStateDensity(row int, name string, state soil.State, d soil.Density, season borrow.Measured, tests span, mean **cell, off *errorCells, relative bool) {
	s, m := b.errors, b.m
	s.put(row, 1, text(name+", "+string(state)), lookWord)
	s.blankRow(row, 2, 8, lookWord)
	if !season.Known() {
		s.put(row, 2, text(notKnown), lookWhy)
		return
	}
	what := string(state) + " density of " + name
	value, format := m.densityOf(season.Value), m.density()
	if relative {
		value, format = number(season.Value), formatFactor
	}
	switch {
	case d.From == soil.FromTests && !tests.empty():
		s.put(row, 2, text("tests"), lookWord)
		*mean = s.put(row, 3, b.live(tests.mean(blank()), value, what), figure(format))
		n := s.put(row, 4, tests.count(), figure(formatCount))
		spread := s.put(row, 5, ifKnown(div(tests.spread(), (*mean).ref()), tests.spread()), figure(formatShare))
		usual := s.put(row, 6, number(state.Variation()), input(formatShare))
		own := when(more(n.ref(), number(1)), mul(sub(n.ref(), number(1)), square(spread.ref())), number(0))
		variance := div(div(add(mul(number(4), square(usual.ref())), own), add(number(3), n.ref())), n.ref())
		off.share = s.put(row, 7, b.live(root(variance), number(season.Error()), "error of the "+what), figure("0.00%"))
		off.df = s.put(row, 8, b.live(add(number(3), n.ref()), number(season.DF()), "degrees of freedom of the "+what), figure(formatCount))
	default:
		from := "typed factor"
		if d.From == soil.Planned {
			from = "planned from the lab"
		}
		s.put(row, 2, text(from), lookWord)
		*mean = s.put(row, 3, value, input(format))
		if relative {
			s.put(row, 4, text("relative"), lookWhy)
		}
		switch {
		case season.Error() == 0:
		case season.DF() > 0:
			off.share = s.put(row, 7, number(season.Error()), input("0.00%"))
			off.df = s.put(row, 8, number(season.DF()), input(formatCount))
		default:
			off.share = s.put(row, 7, b.live(b.accuracy.typed.ref(), number(season.Error()), "error of the "+what), figure("0.00%"))
		}
	}
}

func square(a expr) expr { return mul(a, a) }

// logarithm is LN.
func logarithm(a expr) expr { return call("LN", num(math.Log(a.numeric())), a) }

// power is EXP.
func power(a expr) expr { return call("EXP", num(math.Exp(a.numeric())), a) }

// integer is INT.
func integer(a expr) expr { return call("INT", num(math.Floor(a.numeric())), a) }

// present are the errors that have a cell.
func present(list ...errorCells) []errorCells {
	var out []errorCells
	for _, e := range list {
		if e.share != nil {
			out = append(out, e)
		}
	}
	return out
}

// variance is the sum of the squares of independent errors.
func variance(list []errorCells) expr {
	sum := number(0)
	for i, e := range list {
		if i == 0 {
			sum = e.squared()
			continue
		}
		sum = add(sum, e.squared())
	}
	return sum
}

// half is half the width of the 95 % interval of a logarithm that independent
// errors leave: Student's t by Welch and Satterthwaite times the root of the
// variance, as the package borrow has it.
func half(list []errorCells) expr {
	if len(list) == 0 {
		return number(0)
	}
	total := variance(list)
	var behind *expr
	for _, e := range list {
		if e.df == nil {
			continue
		}
		part := div(square(e.squared()), e.df.ref())
		if behind != nil {
			part = add(*behind, part)
		}
		behind = &part
	}
	const tail = 0.05
	if behind == nil {
		return mul(call("NORMSINV", num(normalHalf), number(1-tail/2)), root(total))
	}
	df := largest(number(1), integer(div(square(total), *behind)))
	return mul(call("TINV", num(soil.StudentT(1-tail/2, df.numeric())), number(tail), df), root(total))
}

// normalHalf is the normal quantile that 1 in 40 lies above.
const normalHalf = 1.959963984540054
