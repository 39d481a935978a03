package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// Excavated is soil that comes out whatever the borrow: topsoil, the cutoff trench
// and cuts. What of it goes into the dam costs no extra digging; the rest is
// heaped or wasted.
type Excavated struct {
	What     string // in words, such as "topsoil stripped under the dam"
	Kind     borrow.SupplyKind
	Source   string  // as in Allocation.Supplies
	Bank     float64 // in place, m3
	Material string  // that it counts as, "" where none of it may go into the dam
	Used     float64 // into the dam, loss included, bank m3
	Left     float64 // Bank - Used
	// LeftLoose is Left in a heap or in trucks; NaN where no swell is known.
	LeftLoose float64
}

// damTopsoil names the topsoil under the dam as a source.
const damTopsoil = "under the dam"

// excavated lists what comes out whatever the borrow.
func (j *Job) excavated(r *Result) []Excavated {
	var out []Excavated
	add := func(what string, kind borrow.SupplyKind, source, material string, bank float64) {
		if !(bank > 0) {
			return
		}
		e := Excavated{What: what, Kind: kind, Source: source, Bank: bank, Material: material}
		e.Used = min(bank, r.Allocation.UsedOf(kind, source, material))
		e.Left = bank - e.Used
		e.LeftLoose = e.Left * j.loosePerBank(material)
		out = append(out, e)
	}
	topsoil := j.onlyFrom("strip")
	add("topsoil stripped under the dam", borrow.FromStripping, damTopsoil, topsoil, r.Quantities.Stripping)
	for i := range r.Pits {
		p := &r.Pits[i]
		add("topsoil stripped off pit "+p.Row.Name, borrow.FromStripping, p.Row.Name, topsoil, p.Strip)
	}
	add("cutoff trench", borrow.FromTrench, trenchName, j.trenchMaterial(), r.Quantities.Trench)
	for i := range r.Cuts {
		c := &r.Cuts[i]
		material := ""
		if c.Usable {
			material = c.Row.Material
		}
		add("cut "+c.Row.Name, borrow.FromCut, c.Row.Name, material, c.Capacity.Bank)
	}
	for i := range r.Pits {
		p := &r.Pits[i]
		add("waste below the topsoil of pit "+p.Row.Name, FromWaste, p.Row.Name, "", p.Waste)
	}
	return out
}

// FromWaste is soil of a pit that may not go into the dam.
const FromWaste borrow.SupplyKind = "waste"

// topsoilSupplies lists the topsoil, where one material comes from stripping.
func (j *Job) topsoilSupplies(r *Result) []supply {
	name := j.onlyFrom("strip")
	if name == "" {
		return nil
	}
	var out []supply
	if s, ok := j.supplyOf(damTopsoil, borrow.FromStripping, name, r.Quantities.Stripping); ok {
		s.dug = true
		s.start, s.located = j.middleOfDam(r)
		out = append(out, s)
	}
	for i := range r.Pits {
		p := &r.Pits[i]
		if s, ok := j.supplyOf(p.Row.Name, borrow.FromStripping, name, p.Strip); ok {
			s.dug = true
			s.start, s.located = j.haulStart(p)
			out = append(out, s)
		}
	}
	return out
}

// onlyFrom is the one material with a source of the table `materials`; "" when
// there is none or more than one.
func (j *Job) onlyFrom(source string) string {
	name := ""
	for i := range j.soils {
		if s := &j.soils[i]; s.row.Source == source && !s.bought {
			if name != "" {
				return ""
			}
			name = s.row.Name
		}
	}
	return name
}

// trenchMaterial is the material that comes out of the cutoff trench: the one
// material that the table says comes from required cuts, where no row of `cuts`
// is of it. "" when nothing says.
func (j *Job) trenchMaterial() string {
	name := j.onlyFrom("cut")
	for _, c := range j.site.Cuts {
		if c.Material == name {
			return ""
		}
	}
	return name
}

// excavatedNotes says where what comes out goes, and when.
func (j *Job) excavatedNotes(r *Result) []site.Note {
	var out []site.Note
	for _, e := range r.Excavated {
		ref := site.Ref{Table: map[borrow.SupplyKind]string{borrow.FromTrench: "trench", borrow.FromCut: "cuts", borrow.FromStripping: "stripping", FromWaste: "borings"}[e.Kind]}
		text, item := "", ""
		switch {
		case e.Kind == borrow.FromTrench && e.Material == "":
			text = fmt.Sprintf("the cutoff trench gives %s, which no table counts as soil for the dam: it is hauled to waste, or heaped for cover. To use it, give its soil a row in `materials` with `source` cut", j.volume(e.Bank, "bank"))
		case e.Kind == borrow.FromTrench:
			text = fmt.Sprintf("the cutoff trench gives %s, counted as %s, whose `source` is cut; %s go into the dam. It comes out before the fill can take it, so it lies in a heap meanwhile%s; handling it twice is not in any cost",
				j.volume(e.Bank, "bank"), e.Material, j.volume(e.Used, "bank"), j.heapWords(e.Bank, e.Material))
		case e.Kind == borrow.FromCut && e.Material != "":
			text = fmt.Sprintf("%s gives %s of %s with no extra digging; %s", e.What, j.volume(e.Bank, "bank"), e.Material, j.intoDam(e))
		case e.Kind == borrow.FromStripping && e.Material != "":
			text, item = "what becomes of stripped soil that counts as "+e.Material, j.strippedWords(e)
		default:
			continue
		}
		out = append(out, site.Note{Level: "note", Ref: ref, Text: text, Item: item})
	}
	return out
}

// intoDam says how much of what a cut gives goes into the dam.
func (j *Job) intoDam(e Excavated) string {
	switch {
	case e.Left <= sumTolerance*e.Bank:
		return "all of it goes into the dam"
	case e.Used <= sumTolerance*e.Bank:
		return "none of it goes into the dam"
	}
	return fmt.Sprintf("%s go into the dam, %s are left over", j.volume(e.Used, "bank"), j.volume(e.Left, "bank"))
}

// strippedWords says what becomes of the topsoil stripped in one place.
func (j *Job) strippedWords(e Excavated) string {
	text := e.What + " gives " + j.volume(e.Bank, "bank")
	switch {
	case e.Left <= sumTolerance*e.Bank:
		return text + ", all spread again"
	case e.Used <= sumTolerance*e.Bank:
		return text + ", none of it used"
	}
	return fmt.Sprintf("%s, %s used and %s left over", text, j.volume(e.Used, "bank"), j.volume(e.Left, "bank"))
}

// heapWords is the size of a heap, "" where no swell is known.
func (j *Job) heapWords(bank float64, material string) string {
	loose := bank * j.loosePerBank(material)
	if math.IsNaN(loose) {
		return ""
	}
	return ", " + j.volume(loose, "loose")
}
