package plan

import (
	"fmt"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// natural is how wet a soil lies in the pit, and how that is known: by bank
// density tests, else by the layers of test holes. The zero natural is "not known".
type natural struct {
	content float64 // mean water content, fraction
	tests   int     // bank tests behind it
	layers  int     // layers of test holes behind it, where no test tells
}

func (n natural) known() bool { return n.tests+n.layers > 0 }

// naturalWater is how wet a material lies in one pit or, with pit blank, in all:
// the mean of its bank tests there, else of the layers in the test holes, each
// weighted by the thickness that would be dug.
func (j *Job) naturalWater(material, pit string) natural {
	var values []float64
	for _, t := range j.site.Density {
		if t.State == "bank" && t.Material == material && t.WaterContent.Given && (pit == "" || t.Pit == pit) && !j.retested(t.ID) {
			values = append(values, t.WaterContent.Value)
		}
	}
	if len(values) == 0 {
		return j.waterInLayers(material, pit)
	}
	mean, _ := soil.Mean(values)
	return natural{content: mean, tests: len(values)}
}

// waterInLayers is the mean water content of a material's usable layers in the
// holes of one pit, of all with pit blank, weighted by the thickness of each that
// would be dug.
func (j *Job) waterInLayers(material, pit string) natural {
	var out natural
	sum, thick := 0.0, 0.0
	for i := range j.pits {
		p := &j.pits[i]
		if p.Strata == nil || pit != "" && p.Row.Name != pit {
			continue
		}
		to := map[string]float64{}
		for _, h := range p.Strata.Holes {
			to[h.Name] = p.dugTo(h)
		}
		for _, h := range j.site.HolesOf(p.Row.Name) {
			for _, l := range h.Layers {
				dug := min(to[h.Name], l.To) - max(p.shape.Strip, l.From)
				if l.Material != material || l.Usable != "yes" || !l.WaterContent.Given || !(dug > 0) {
					continue
				}
				out.layers++
				sum += dug * l.WaterContent.Value
				thick += dug
			}
		}
	}
	if out.layers > 0 {
		out.content = sum / thick
	}
	return out
}

// weighWater goes over the water of the materials once it is known what each pit
// gives: the water of soil from several pits is that of each, weighted by what is
// taken from it.
func (j *Job) weighWater(r *Result) {
	for i := range r.Materials {
		m := &r.Materials[i]
		w := m.Moisture
		if w == nil {
			continue
		}
		sum, taken := 0.0, 0.0
		for k := range w.Pits {
			p := &w.Pits[k]
			p.Used = r.Allocation.UsedOf(borrow.FromPit, p.Pit, m.Row.Name)
			sum += p.Used * p.Present
			taken += p.Used
		}
		if taken > 0 {
			w.Present, w.Weighted = sum/taken, true
			j.balanceWater(w, m)
		}
	}
}

// layerWaterNotes says where the water content of the test holes is taken, and
// where it is not.
func (j *Job) layerWaterNotes(r *Result) []site.Note {
	var out []site.Note
	at := site.Ref{Table: "borings"}
	for _, m := range r.Materials {
		if m.Moisture == nil {
			continue
		}
		for _, p := range m.Moisture.Pits {
			if !m.used() {
				break
			}
			if p.Tests == 0 {
				out = append(out, site.Note{Level: "note", Ref: at, Text: fmt.Sprintf(
					"%s in pit %s has no density tests with a water content, so that of its test holes is taken: %s, the mean of %d layer%s weighted by the thickness dug",
					m.Row.Name, p.Pit, percent(p.Present), p.Layers, plural(p.Layers))})
				continue
			}
			if holes := j.waterInLayers(m.Row.Name, p.Pit); holes.layers > 0 {
				out = append(out, site.Note{Level: "note", Ref: at, Text: fmt.Sprintf(
					"%s in pit %s: the water content of its test holes, %s, is not used, since its bank density tests give %s",
					m.Row.Name, p.Pit, percent(holes.content), percent(p.Present))})
			}
		}
	}
	return out
}
