package workbook

import "math"

// trialCharts are the trial strips, one chart a material: percent compaction by passes,
// a line a machine.
func (b *book) trialCharts() []drawn {
	var out []drawn
	for i := range b.r.Materials {
		if d := b.trialChart(i); len(d.series) > 0 && len(out) < mostCharts {
			out = append(out, d)
		}
	}
	return out
}

func (b *book) trialChart(i int) drawn {
	name := clean(b.r.Materials[i].Row.Name)
	d := drawn{
		title: "Trial strips of " + clip(name, 60), explain: "Mean percent compaction after passes, by machine, beside what is required. From the sheet Trials.",
		x: axis{title: "Passes", format: "0"}, y: axis{title: "Percent compaction", format: "0%"},
	}
	const step = 0.05
	low, high := math.Inf(1), math.Inf(-1)
	var longest span // of the machine with the most passes, for the line of what is required
	for k, passes := range b.strips {
		if b.r.Trials[k].Material != b.r.Materials[i].Row.Name {
			continue
		}
		mean := passes
		mean.col = trialMean
		d.add(clip(clean(b.r.Trials[k].Machine), 24), series{x: passes, y: mean, marks: marksInTurn[len(d.series)%len(marksInTurn)]})
		for _, v := range mean.numbers() {
			low, high = min(low, v), max(high, v)
		}
		if x := passes.numbers(); len(x) > 0 && (longest.sheet == nil || x[len(x)-1] > d.x.high) {
			longest, d.x.high = passes, x[len(x)-1]
		}
	}
	if longest.sheet == nil {
		return drawn{}
	}
	required := longest
	required.col = trialRequired
	if need := required.numbers(); len(need) > 0 {
		d.add("required", series{x: longest, y: required, dash: true})
		low, high = min(low, need[0]), max(high, need[0])
	}
	d.y.low, d.y.high = math.Floor(low/step)*step, math.Ceil(high/step)*step
	d.x.high++
	return d
}

// marksInTurn tell the lines of a chart apart in a print without colour.
var marksInTurn = []string{"circle", "square", "triangle", "diamond"}
