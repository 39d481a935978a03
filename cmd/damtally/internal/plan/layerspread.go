package plan

import (
	"math"

	"github.com/damtally/damtally/earthwork/soil"
	"gonum.org/v1/gonum/stat/distuv"
)

// fewestHoles is the least number of test holes in a pit from which a chance is
// told: two always lie on a line and show no spread about it.
const fewestHoles = 3

// unsure is the relative standard deviation of what a pit holds of a material that
// its test holes leave open; NaN with fewer than three holes.
//
// The model is plain and says so wherever it is used. At each hole the depths of the
// layers are foretold from the other holes, weighted by 1 / distance squared, and so
// is what would be dug there; the root mean square of what that misses is how far a
// foretold thickness is off at about the spacing of the holes. The ground and the floor
// are known and leave nothing open. Each hole stands for an equal part of the pit, and
// the parts err by themselves, so the mean over n of them is off by that over the root
// of n. Holes closer together foretell one another better, and more of them divide by
// more: both narrow it.
func (p *Pit) unsure(material string) float64 {
	n := len(p.Strata.Holes)
	if n < fewestHoles {
		return math.NaN()
	}
	mean, missed := 0.0, 0.0
	for i, h := range p.Strata.Holes {
		found := p.thickness(h, material)
		d := found - p.thickness(p.Strata.Foretold(i), material)
		missed += d * d
		mean += found / float64(n)
	}
	if mean == 0 {
		return math.NaN()
	}
	return math.Sqrt(missed/float64(n)) / math.Sqrt(float64(n)) / mean
}

// What a chance takes into account.
const (
	ChanceWithLayers = "density tests and layer depth"
	// ChanceOfTests is said where the layer depths leave nothing open, since every
	// hole goes on in the same soil down to the pit's floor: the tests alone then
	// tell the chance.
	ChanceOfTests = "density tests only"
)

// layersAgree is the share of what is available below which the spread that layer
// depths leave is rounding and no spread.
const layersAgree = 1e-9

// depthSteps is how many equally likely depths stand for all that the layers may
// turn out to be.
const depthSteps = 199

// chanceEnough works out the chance that what the pits hold covers the bank need
// itself, without the reserve, from the spread of the density tests and of the layers
// between test holes; where holes lack, NoChance says so. fixed is what of the
// available volume comes from elsewhere than pits, and is taken as sure.
func (b *Balance) chanceEnough(m *Material, pits []Pit, fixed float64) {
	if m.Spread == nil || m.Spread.Bank == nil || len(b.Pits) == 0 || !(b.Needed > 0) {
		return
	}
	sd, degrees, why := b.layersOpen(pits)
	if why != "" {
		b.NoChance = why
		return
	}
	draws := m.Spread.draws[soil.Bank]
	chance := 0.0
	b.Chance, b.ChanceBasis = &chance, ChanceWithLayers
	if sd <= layersAgree*b.Available {
		b.ChanceBasis = ChanceOfTests
		if b.Available > 0 {
			chance = draws.Below(b.Available / b.Needed)
		}
		return
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: degrees}
	for k := range depthSteps {
		held := max(fixed, b.Available+sd*t.Quantile((float64(k)+0.5)/depthSteps))
		if held > 0 {
			chance += draws.Below(held/b.Needed) / depthSteps
		}
	}
	chance = min(1, chance) // the sum of many parts may round above it
}

// layersOpen is the standard deviation, bank m3, of what the pits hold that their
// layers between the holes leave open, with its degrees of freedom; or why it is not
// known.
func (b *Balance) layersOpen(pits []Pit) (sd, degrees float64, why string) {
	variance := 0.0
	degrees = math.Inf(1)
	for _, i := range b.Pits {
		p := &pits[i]
		held := p.Holds(b.Material)
		if held == 0 {
			continue
		}
		if p.Holes < fewestHoles {
			return 0, 0, "pit " + p.Row.Name + " has fewer than three test holes, so nothing shows how its layers vary"
		}
		for _, k := range p.ByMaterial {
			if k.Material == b.Material && !math.IsNaN(k.Unsure) {
				variance += k.Unsure * k.Unsure * held * held
			}
		}
		degrees = min(degrees, float64(p.Holes-1))
	}
	return math.Sqrt(variance), degrees, ""
}
