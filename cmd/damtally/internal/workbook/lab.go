package workbook

import (
	"cmp"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// nan stands for "not given" where a number is asked for.
var nan = math.NaN()

// sampleCells are the laboratory samples of one material: one row a sample.
type sampleCells struct {
	maxDry, optimum span // of the whole soil
	names           []string
}

// Columns of the first table of the sheet Lab.
const (
	sampleMaterial = iota + 1
	sampleName
	samplePoints
	sampleOptimum // of what was tested
	sampleMax
	samplePeak
	sampleApart
	sampleOversize
	sampleGravity
	sampleWholeOptimum
	sampleWholeMax
	labLast = sampleWholeMax // columns of the sheet
)

const (
	rowSampleHead = 5
	pointLast     = 10 // columns of the points' table
)

// laySamples lays what was read off the curve of each laboratory sample.
func (b *book) laySamples() {
	s, m := b.lab, b.m
	b.samples = make([]sampleCells, len(b.r.Materials))
	none := span{s, 1, 1, 0}
	for i := range b.samples {
		b.samples[i].maxDry, b.samples[i].optimum = none, none
	}
	if len(b.r.Site.Proctor) == 0 {
		return
	}
	s.opening("Laboratory compaction tests", labLast,
		"The lab maximum and the optimum water content of a sample are read off a smooth curve through its points; other ways of drawing it lie apart by what the column says. Type the laboratory's own over them where it read otherwise.")
	row := rowSampleHead
	s.put(row-1, 1, text("What was read off the curves"), lookPart)
	s.headings(row, "Material", "Sample", "Points", "Optimum water content", in("Maximum dry density", m.Density), "Peak between points",
		in("Other ways of drawing, apart by", m.Density), "Oversize screened out", "Specific gravity of the oversize", "Optimum of the whole soil", in("Maximum of the whole soil", m.Density))
	for i := range b.r.Materials {
		c, mat := &b.samples[i], &b.r.Materials[i]
		for _, sample := range mat.Samples {
			row++
			b.laySample(row, mat, sample)
			c.names = append(c.names, sample.Name)
		}
		if n := len(mat.Samples); n > 0 {
			c.optimum, c.maxDry = span{s, sampleWholeOptimum, row - n + 1, row}, span{s, sampleWholeMax, row - n + 1, row}
		}
	}
}

func (b *book) laySample(row int, mat *plan.Material, sample plan.Sample) {
	s, m := b.lab, b.m
	s.put(row, sampleMaterial, text(clean(mat.Row.Name)), lookWord)
	s.put(row, sampleName, text(clean(sample.Name)), lookWord)
	s.put(row, samplePoints, number(float64(sample.Curve.N)), figure(formatCount))
	optimum := s.put(row, sampleOptimum, number(sample.Fine.Optimum), input(formatShare))
	maxDry := s.put(row, sampleMax, m.densityOf(sample.Fine.MaxDry), input(m.density()))
	word := "yes"
	if !sample.Curve.Bracketed {
		word = "LOOK"
	}
	s.watch(s.put(row, samplePeak, text(word), lookAnswer), "yes", "LOOK")
	s.put(row, sampleApart, m.densityOf(sample.Fine.DrySpread), figure(m.density()))
	oversize, stones := blank(), blank()
	if sample.Oversize.Gravity > 0 {
		oversize, stones = number(sample.Oversize.Share), number(sample.Oversize.Gravity)
	}
	share := s.put(row, sampleOversize, oversize, input(formatShare))
	gravity := s.put(row, sampleGravity, stones, input(formatGravity))
	// ASTM D4718: nothing is corrected up to 5 % oversize.
	corrects := func(whole, fine expr) expr {
		return when(known(share.ref(), gravity.ref()), when(more(share.ref(), number(soil.OversizeIgnored)), whole, fine), fine)
	}
	finer := sub(number(1), share.ref())
	what := "of sample " + clean(sample.Name)
	wholeOptimum := corrects(mul(finer, optimum.ref()), optimum.ref())
	s.put(row, sampleWholeOptimum, b.live(wholeOptimum, number(sample.Curve.Optimum), "optimum "+what), figure(formatShare))
	stone := div(share.ref(), mul(gravity.ref(), m.densityOf(soil.WaterDensity)))
	wholeMax := corrects(div(number(1), add(stone, div(finer, maxDry.ref()))), maxDry.ref())
	s.put(row, sampleWholeMax, b.live(wholeMax, m.densityOf(sample.Curve.MaxDry), "maximum dry density "+what), figure(m.density()))
}

// labOf is the lab maximum and the optimum that a test is held against: those of
// its own sample where it names one, else those of its material.
func (b *book) labOf(material int, sample string) (maxDry, optimum expr) {
	c := &b.samples[material]
	if k := slices.Index(c.names, sample); k >= 0 && sample != "" {
		row := c.maxDry.from + k
		return b.lab.at(row, c.maxDry.col).ref(), b.lab.at(row, c.optimum.col).ref()
	}
	return b.soil[material].maxDry.ref(), b.soil[material].optimum.ref()
}

// fineOf is the maximum of what was tested of a sample, without its oversize.
func (b *book) fineOf(material int, sample string) expr {
	c := &b.samples[material]
	if k := slices.Index(c.names, sample); k >= 0 {
		return b.lab.at(c.maxDry.from+k, sampleMax).ref()
	}
	return b.soil[material].maxDry.ref()
}

// layLabPoints lays the points of the laboratory compaction tests.
func (b *book) layLabPoints() {
	s, m := b.lab, b.m
	if len(b.r.Site.Proctor) == 0 {
		return
	}
	row := s.table(s.lastRow()+2, "The points",
		"Zero air voids = specific gravity x density of water / (1 + specific gravity x water content). A point on or above that line cannot be right. The curve is fitted by the plan: change a point in the table proctor and run the plan again.",
		"Material", "Sample", "Effort", "Water content", in("Dry density", m.Density), in("Wet density", m.Density),
		"Share of lab maximum", "Specific gravity", in("Zero air voids", m.Density), "Below the line")
	first := row + 1
	for _, p := range b.sortedPoints() {
		row++
		b.points = append(b.points, labPoint{p.Material, p.Sample, row})
		s.put(row, 1, text(clean(p.Material)), lookWord)
		s.put(row, 2, text(clean(p.Sample)), lookWord)
		s.put(row, 3, text(clean(p.Effort)), lookWord)
		water := s.put(row, 4, number(p.WaterContent), figure(formatShare))
		dry := s.put(row, 5, m.densityOf(p.DryDensity), figure(m.density()))
		s.put(row, 6, mul(dry.ref(), add(number(1), water.ref())), figure(m.density()))
		s.blankRow(row, 7, pointLast, lookWord)
		i := b.materialIndex(p.Material)
		if i < 0 {
			continue
		}
		maxDry := b.fineOf(i, p.Sample)
		s.put(row, 7, ifKnown(div(dry.ref(), maxDry), maxDry), figure(formatShare))
		gravity := s.put(row, 8, given(b.r.Materials[i].Row.SpecificGravity), input(formatGravity))
		voids := div(mul(gravity.ref(), m.densityOf(soil.WaterDensity)), add(number(1), mul(gravity.ref(), water.ref())))
		line := s.put(row, 9, ifKnown(voids, gravity.ref()), figure(m.density()))
		below := s.put(row, pointLast, ifKnown(when(less(dry.ref(), line.ref()), text("yes"), text("LOOK")), line.ref()), lookAnswer)
		s.watch(below, "yes", "LOOK")
	}
	s.filters = [2]int{first - 1, row}
	b.layVoids(row + 2)
}

// labPoint is where a point of a laboratory test stands on the sheet Lab.
type labPoint struct {
	material, sample string
	row              int
}

// sortedPoints are the points by material, by sample as they first come, and by
// water content, so that each sample is one block of rows that can be drawn.
func (b *book) sortedPoints() []site.LabPoint {
	order := map[[2]string]int{}
	points := slices.Clone(b.r.Site.Proctor)
	for _, p := range points {
		if key := [2]string{p.Material, p.Sample}; order[key] == 0 {
			order[key] = len(order) + 1
		}
	}
	slices.SortStableFunc(points, func(p, q site.LabPoint) int {
		return cmp.Or(cmp.Compare(b.materialIndex(p.Material), b.materialIndex(q.Material)),
			cmp.Compare(order[[2]string{p.Material, p.Sample}], order[[2]string{q.Material, q.Sample}]),
			cmp.Compare(p.WaterContent, q.WaterContent))
	})
	return points
}

// voidSteps is how many steps a zero-air-voids line is drawn in. It is curved
// so little that eight straight steps read as a curve.
const voidSteps = 8

// layVoids lays the zero-air-voids line of each material with a specific gravity,
// for drawing.
func (b *book) layVoids(row int) {
	s, m := b.lab, b.m
	b.voids = make([]span, len(b.r.Materials))
	for i := range b.voids {
		b.voids[i] = span{s, 2, 1, 0}
	}
	some := false
	for i := range b.r.Materials {
		low, high := b.waterRange(i)
		gravity := b.r.Materials[i].Row.SpecificGravity
		if high <= low || !gravity.Given {
			continue
		}
		if !some {
			row = s.table(row, "Zero-air-voids lines, for the charts", "", "Material", "Water content", in("Zero air voids", m.Density))
			some = true
		}
		b.voids[i].from = row + 1
		g := number(gravity.Value)
		for k := range voidSteps + 1 {
			row++
			s.put(row, 1, b.soil[i].name.ref(), lookWord)
			water := s.put(row, 2, number(low+(high-low)*float64(k)/voidSteps), figure(formatShare))
			s.put(row, 3, div(mul(g, m.densityOf(soil.WaterDensity)), add(number(1), mul(g, water.ref()))), figure(m.density()))
		}
		b.voids[i].to = row
	}
}

// waterRange is the range of water content that a chart of a material shows, with
// room on both sides, rounded outward to whole points; 0 and 0 without lab points.
func (b *book) waterRange(material int) (low, high float64) {
	const room, step = 0.015, 0.01
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range b.r.Site.Proctor {
		if p.Material == b.r.Materials[material].Row.Name {
			low, high = min(low, p.WaterContent), max(high, p.WaterContent)
		}
	}
	if low > high {
		return 0, 0
	}
	return max(0, math.Floor((low-room)/step)*step), math.Ceil((high+room)/step) * step
}
