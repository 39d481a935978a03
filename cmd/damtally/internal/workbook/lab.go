package workbook

import (
	"math"
	"slices"
)

// nan stands for "not given" where a number is asked for.
var nan = math.NaN()

// waterDensity is that of water in the line of zero air voids, kg/m3.
const waterDensity = 1000

// sampleCells are the laboratory samples of one material: one row a sample.
type sampleCells struct {
	maxDry, optimum span
	names           []string
}

const (
	rowSampleHead = 5
	labLast       = 10 // columns of the sheet Lab
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
		"The lab maximum and the optimum water content of a sample are read off a smooth curve through its points. Type the laboratory's own over them where it read otherwise.")
	row := rowSampleHead
	s.put(row-1, 1, text("What was read off the curves"), lookPart)
	s.headings(row, "Material", "Sample", "Points", "Optimum water content", in("Maximum dry density", m.Density), "Peak between points")
	for i := range b.r.Materials {
		c, mat := &b.samples[i], &b.r.Materials[i]
		for _, sample := range mat.Samples {
			row++
			s.put(row, 1, text(clean(mat.Row.Name)), lookWord)
			s.put(row, 2, text(clean(sample.Name)), lookWord)
			s.put(row, 3, number(float64(sample.Curve.N)), figure(formatCount))
			s.put(row, 4, number(sample.Curve.Optimum), input(formatShare))
			s.put(row, 5, m.densityOf(sample.Curve.MaxDry), input(m.density()))
			word := "yes"
			if !sample.Curve.Bracketed {
				word = "LOOK"
			}
			s.watch(s.put(row, 6, text(word), lookAnswer), "yes", "LOOK")
			c.names = append(c.names, sample.Name)
		}
		if n := len(mat.Samples); n > 0 {
			c.optimum, c.maxDry = span{s, 4, row - n + 1, row}, span{s, 5, row - n + 1, row}
		}
	}
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

// layLabPoints lays the points of the laboratory compaction tests.
func (b *book) layLabPoints() {
	s, m := b.lab, b.m
	if len(b.r.Site.Proctor) == 0 {
		return
	}
	row := s.table(s.lastRow()+2, "The points",
		"Zero air voids = specific gravity x density of water / (1 + specific gravity x water content). A point on or above that line cannot be right.",
		"Material", "Sample", "Effort", "Water content", in("Dry density", m.Density), in("Wet density", m.Density),
		"Share of lab maximum", "Specific gravity", in("Zero air voids", m.Density), "Below the line")
	for _, p := range b.r.Site.Proctor {
		row++
		s.put(row, 1, text(clean(p.Material)), lookWord)
		s.put(row, 2, text(clean(p.Sample)), lookWord)
		s.put(row, 3, text(clean(p.Effort)), lookWord)
		water := s.put(row, 4, number(p.WaterContent), input(formatShare))
		dry := s.put(row, 5, m.densityOf(p.DryDensity), input(m.density()))
		s.put(row, 6, mul(dry.ref(), add(number(1), water.ref())), figure(m.density()))
		s.blankRow(row, 7, labLast, lookWord)
		i := b.materialIndex(p.Material)
		if i < 0 {
			continue
		}
		maxDry, _ := b.labOf(i, p.Sample)
		s.put(row, 7, ifKnown(div(dry.ref(), maxDry), maxDry), figure(formatShare))
		gravity := s.put(row, 8, given(b.r.Materials[i].Row.SpecificGravity), input("0.00"))
		voids := div(mul(gravity.ref(), m.densityOf(waterDensity)), add(number(1), mul(gravity.ref(), water.ref())))
		line := s.put(row, 9, ifKnown(voids, gravity.ref()), figure(m.density()))
		below := s.put(row, labLast, ifKnown(when(less(dry.ref(), line.ref()), text("yes"), text("LOOK")), line.ref()), lookAnswer)
		s.watch(below, "yes", "LOOK")
	}
}
