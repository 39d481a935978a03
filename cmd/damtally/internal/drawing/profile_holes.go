package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/paulmach/orb"
)

// holeWidth is how wide a test hole is drawn on the profile, points.
const holeWidth = 9.0

// holesOnProfile are the holes under the dam whose ground is known.
func (d *set) holesOnProfile() []*plan.HoleView {
	if d.r.Plan == nil {
		return nil
	}
	var out []*plan.HoleView
	for i := range d.r.Plan.Holes {
		if h := &d.r.Plan.Holes[i]; !math.IsNaN(h.Station) && !math.IsNaN(h.Ground) {
			out = append(out, h)
		}
	}
	return out
}

// holes draws each hole under the dam at its station, from its own ground down, as
// far as the plot reaches.
func (p *profile) holes() {
	p.on("holes")
	for _, h := range p.d.holesOnProfile() {
		for _, l := range h.Layers {
			a, b := p.at(h.Station, h.Ground-l.From), p.at(h.Station, h.Ground-l.To)
			y0, y1 := max(a[1], p.plot.Min[1]), min(b[1], p.plot.Max[1])
			if y0 >= y1 {
				continue
			}
			ring := rectangle(a[0]-holeWidth/2, y0, a[0]+holeWidth/2, y1)
			p.fillWith(p.d.soilPattern(l.Material), []orb.LineString{ring})
			p.outline(thin, ring)
			p.guard(ring)
		}
		if w := h.Water; w.Given {
			if at := p.at(h.Station, h.Ground-w.Value); at[1] < p.plot.Max[1] {
				p.area(water, pen{}, waterSign(at))
			}
		}
	}
}

// holeNames names the holes.
func (p *profile) holeNames() {
	p.on("holes")
	for _, h := range p.d.holesOnProfile() {
		p.pointed(p.at(h.Station, h.Ground-h.Layers[len(h.Layers)-1].To), words{text: name(h.Name), size: plainWords, halo: true}, 4, p.plot)
	}
}
