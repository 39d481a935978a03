package drawing

import (
	"math"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// pointsPerInch is what the paper is measured in: points of 1/72 in.
const pointsPerInch = 72.0

// Paper is a size of paper that lies on its long side.
type Paper struct {
	Name          string
	Width, Height float64 // points
	wide, high    string  // with their unit, for SVG
}

// Papers are the sizes that a sheet can have: those of ANSI/ASME Y14.1 (letter and
// tabloid, which it calls A and B) and of ISO 216.
var Papers = []Paper{
	{"letter", 11 * pointsPerInch, 8.5 * pointsPerInch, "11in", "8.5in"},
	{"tabloid", 17 * pointsPerInch, 11 * pointsPerInch, "17in", "11in"},
	{"a4", 297 / 25.4 * pointsPerInch, 210 / 25.4 * pointsPerInch, "297mm", "210mm"},
	{"a3", 420 / 25.4 * pointsPerInch, 297 / 25.4 * pointsPerInch, "420mm", "297mm"},
}

// PaperOf finds a size of paper by its name.
func PaperOf(name string) (Paper, bool) {
	for _, p := range Papers {
		if p.Name == name {
			return p, true
		}
	}
	return Paper{}, false
}

// usualPaper is the paper of a system of units: tabloid, or A3.
func usualPaper(s units.System) Paper {
	name := "a3"
	if s.Name == "us" {
		name = "tabloid"
	}
	p, _ := PaperOf(name)
	return p
}

// scaling turns metres of the job into points of paper.
type scaling struct {
	perMetre float64
	text     string // "1 in = 20 ft" or "1:250"
}

// steps are the first digits of scales: those of an engineer's ruler (10, 20, 30,
// 40, 50 and 60 parts to the inch, common practice), and 1, 2 and 5 with the
// surveyor's 2.5 between (ISO 5455 has 1:2, 1:5, 1:10 and so on).
var (
	usSteps     = []float64{1, 2, 3, 4, 5, 6}
	metricSteps = []float64{1, 2, 2.5, 5}
)

// scaleFor is the largest standard scale at which a stretch of metres fits into a
// stretch of points, both ways.
func scaleFor(s units.System, metres, points [2]float64) scaling {
	most := math.Inf(1)
	for k := range 2 {
		if metres[k] > 0 {
			most = min(most, points[k]/metres[k])
		}
	}
	if math.IsInf(most, 1) {
		most = pointsPerInch // there is nothing to draw
	}
	return scaleUnder(s, most)
}

// scaleUnder is the largest standard scale of at most so many points a metre.
func scaleUnder(s units.System, most float64) scaling {
	if s.Name == "us" {
		n := standardStep(pointsPerInch/(most*s.Length.SI), usSteps)
		return scaling{pointsPerInch / (n * s.Length.SI), "1 in = " + strconv.FormatFloat(n, 'f', -1, 64) + " ft"}
	}
	n := standardStep(pointsPerInch/0.0254/most, metricSteps)
	return scaling{pointsPerInch / 0.0254 / n, "1:" + strconv.FormatFloat(n, 'f', -1, 64)}
}

// scaleSlack keeps a drawing that fits a scale to the last digit from the next one,
// as a share.
const scaleSlack = 1e-9

// standardStep is the least standard number of at least v.
func standardStep(v float64, steps []float64) float64 {
	v *= 1 - scaleSlack
	decade := math.Pow(10, math.Floor(math.Log10(v)))
	for _, d := range [2]float64{decade, 10 * decade} {
		for _, s := range steps {
			if n := roundDigits(s * d); n >= v {
				return n
			}
		}
	}
	return roundDigits(100 * decade)
}

// roundDigits takes the rounding of powers of ten off a number.
func roundDigits(v float64) float64 {
	t, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return t
}

// niceStep is a round step (1, 2 or 5 times a power of ten) of at least v.
func niceStep(v float64) float64 { return standardStep(v, []float64{1, 2, 5}) }
