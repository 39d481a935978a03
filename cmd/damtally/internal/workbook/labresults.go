package workbook

import (
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// materialCells are the figures of one material that other sheets refer to.
type materialCells struct {
	name, maxDry, optimum, required, expected *cell
	low, high, loss, typedShrink, typedSwell  *cell
	lossTaken                                 *cell // in the need; loss is the one typed for the material

	bank, loose, fill       *cell // dry densities
	shrink, swell, perLoose *cell
	compacted               *cell
	parts                   []*cell // of compacted: what each zone takes, then each blanket
	bankVolume, looseVol    *cell
	stone                   *cell // tons of bought stone
	inDam, inPit, truck     *cell // dry tons
	solids                  *cell // holds or not

	bankLow, bankHigh *cell // 1 in 10 lies below, and above; nil where not known
}

// Columns of the first table of the sheet Materials.
const (
	labMaterial = iota + 1
	labSource
	labEffort
	labMax
	labOptimum
	labRequired
	labExpected
	labLow
	labHigh
	labLoss
	labShrink
	labSwell
)

const rowLabHead = 5

// planMargin is how far crews must average above the least compaction, fraction:
// two points (UFC 3-220-20, 2025).
const planMargin = 0.02

// narrowFigures is the width, in characters, of the sheet's columns of figures: it
// holds the longest word of their headings, and keeps the print large enough to read.
const narrowFigures = 12

// layLabResults lays what the laboratory found and what is asked, which tests
// are judged by.
func (b *book) layLabResults() {
	s, m := b.materials, b.m
	if len(b.r.Materials) == 0 {
		return
	}
	s.opening("Materials", labSwell,
		"Dry density links the three states of a soil: in the bank, loose in a truck, compacted in the dam. The solids stay the same, so the volumes go as one over the dry density.",
		"A typed factor or an expected compaction stands on white where tests rule and it moves nothing, and so does a limit that no test is held against.",
	)
	for col := labEffort + 1; col <= labHigh; col++ {
		s.widths[col] = narrowFigures
	}
	s.put(rowLabHead-1, 1, text("What the laboratory found and what is asked"), lookPart)
	s.headings(rowLabHead, "Material", "From", "Effort", in("Lab maximum dry density", m.Density), "Optimum water content",
		"Required compaction", "Expected compaction", "Water content, lowest from optimum", "Water content, highest from optimum",
		"Loss typed, share of what is dug", "Shrink factor, typed", "Swell, typed")
	b.soil = make([]materialCells, len(b.r.Materials))
	for i := range b.r.Materials {
		b.layLabResult(rowLabHead+1+i, i)
	}
}

func (b *book) layLabResult(row, i int) {
	s, m, mat, c := b.materials, b.m, &b.r.Materials[i], &b.soil[i]
	c.name = s.put(row, labMaterial, text(clean(mat.Row.Name)), lookWord)
	s.put(row, labSource, text(sourceWord(mat)), lookWord)
	s.put(row, labEffort, text(clean(mat.Row.Effort)), lookWord)
	maxDry, optimum := blank(), blank()
	if mat.Lab != nil {
		maxDry, optimum = m.densityOf(mat.Lab.MaxDry), number(mat.Lab.Optimum)
	}
	if samples := b.samples[i]; !samples.maxDry.empty() {
		maxDry = b.live(samples.maxDry.mean(blank()), maxDry, "lab maximum of "+clean(mat.Row.Name))
		optimum = b.live(samples.optimum.mean(blank()), optimum, "optimum water content of "+clean(mat.Row.Name))
	}
	c.maxDry = s.put(row, labMax, maxDry, inputIfPlain(maxDry, m.density()))
	c.optimum = s.put(row, labOptimum, optimum, inputIfPlain(optimum, formatShare))
	c.required = s.put(row, labRequired, given(mat.Row.RequiredCompaction), input(formatShare))
	expected := b.expected(mat, c)
	c.expected = s.put(row, labExpected, expected, inputUnless(!expected.plain || mat.Factors.Fill.From == soil.FromTests, formatShare))
	c.low = s.put(row, labLow, given(mat.Row.WaterLow), input(formatPoints))
	c.high = s.put(row, labHigh, given(mat.Row.WaterHigh), input(formatPoints))
	c.loss = s.put(row, labLoss, number(mat.Row.Loss.Or(0)), input(formatShare))
	c.typedShrink = s.put(row, labShrink, b.typed(mat.Row.ShrinkFactor, mat.Factors.Shrink, mat.Factors.ShrinkFrom), inputUnless(rules(mat.Factors.ShrinkFrom), formatFactor))
	c.typedSwell = s.put(row, labSwell, b.typed(mat.Row.Swell, mat.Factors.Swell, mat.Factors.SwellFrom), inputUnless(rules(mat.Factors.SwellFrom), formatFactor))
}

// rules says that dry densities give a factor, so that a typed one does nothing.
func rules(from soil.Basis) bool {
	return from != soil.Typed && from != soil.Published && from != soil.Unknown
}

// typed is the factor that stands where density tests give none: the typed one,
// or a published typical one.
func (b *book) typed(row site.Number, factor float64, from soil.Basis) expr {
	if from == soil.Published {
		return number(factor)
	}
	return given(row)
}

// untestedBy says where a factor comes from that no tests give.
func untestedBy(from soil.Basis) expr {
	if from == soil.Published {
		return text("TYPICAL, not tested")
	}
	return text("typed")
}

// expected is the compaction that a fill without tests is planned at.
func (b *book) expected(mat *plan.Material, c *materialCells) expr {
	if mat.Row.ExpectedCompaction.Given || !mat.Row.RequiredCompaction.Given {
		return given(mat.Row.ExpectedCompaction)
	}
	planned := add(c.required.ref(), number(planMargin))
	if mat.Factors.Fill.From == soil.Planned && mat.Lab != nil && mat.Lab.MaxDry > 0 {
		return b.live(planned, number(mat.Factors.Fill.Value/mat.Lab.MaxDry), "expected compaction of "+clean(mat.Row.Name))
	}
	return planned
}

// inputIfPlain is the look of an input, or of a figure where a formula stands.
func inputIfPlain(e expr, format string) look {
	if e.plain {
		return input(format)
	}
	return figure(format)
}

// given is a number that a table may leave blank.
func given(n site.Number) expr {
	if !n.Given {
		return blank()
	}
	return number(n.Value)
}

var sourceWords = map[string]string{"bought": "bought", "cut": "required cut", "strip": "stripping"}

func sourceWord(mat *plan.Material) string {
	if mat.Bought {
		return "bought"
	}
	if w, ok := sourceWords[mat.Row.Source]; ok {
		return w
	}
	return "borrow"
}
