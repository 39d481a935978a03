package site

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Form is the shape in which a filter or a drain is laid, told by the columns
// that its row fills in: "blanket" with an offset, "toe" with a top width, else
// "chimney"; "" for other kinds.
func (z Zone) Form() string {
	switch {
	case z.Kind != "filter" && z.Kind != "drain":
		return ""
	case z.FromOffset.Given || z.ToOffset.Given:
		return "blanket"
	case z.TopWidth.Given:
		return "toe"
	}
	return "chimney"
}

// shape is what the row of a zone must and may fill in.
type shape struct {
	called       string
	needs, takes []string
}

// shapes are those of every kind, and of every form of filters and drains.
var shapes = map[string]shape{
	"core":    {"core", []string{"top width", "upstream slope", "downstream slope"}, []string{"top elevation", "top below crest"}},
	"shell":   {"shell", nil, nil},
	"chimney": {"chimney", []string{"side", "thickness"}, []string{"top elevation", "top below crest"}},
	"blanket": {"blanket", []string{"thickness"}, []string{"from offset", "to offset"}},
	"toe":     {"toe drain", []string{"side", "thickness", "top width", "upstream slope", "downstream slope"}, nil},
	"facing":  {"facing", []string{"side", "thickness"}, []string{"from elevation", "to elevation", "lies"}},
	"bedding": {"bedding", []string{"side", "thickness"}, []string{"from elevation", "to elevation", "lies"}},
	"cover":   {"cover", []string{"side", "thickness"}, []string{"from elevation", "to elevation", "lies"}},
}

// filledIn lists the columns of a zone's shape that its row fills in, in the
// order of the table.
func (z Zone) filledIn() []string {
	var out []string
	for _, c := range []struct {
		column string
		given  bool
	}{
		{"top elevation", z.TopElevation.Given},
		{"top below crest", z.TopBelowCrest.Given},
		{"top width", z.TopWidth.Given},
		{"upstream slope", z.UpstreamSlope.Given},
		{"downstream slope", z.DownstreamSlope.Given},
		{"thickness", z.Thickness.Given},
		{"side", z.SideGiven},
		{"lies", z.Lies != ""},
		{"from elevation", z.FromElevation.Given},
		{"to elevation", z.ToElevation.Given},
		{"from offset", z.FromOffset.Given},
		{"to offset", z.ToOffset.Given},
	} {
		if c.given {
			out = append(out, c.column)
		}
	}
	return out
}

func (r *reading) checkZones() {
	shell := Ref{}
	badKind := false
	for _, z := range r.site.Zones {
		if z.Kind == "" {
			badKind = true
			continue
		}
		r.checkShape(z)
		switch {
		case z.Kind == "shell" && shell.Row > 0:
			r.wrong(z.Ref, "kind", fmt.Sprintf("is a second shell; the one in row %d takes everything", shell.Row), "keep one shell; give it several materials parted by ; if need be")
		case z.Kind == "shell":
			shell = z.Ref
		case shell.Row > 0 && z.Lies != "outside":
			r.wrong(z.Ref, "zone", fmt.Sprintf("stands below the shell of row %d, so it gets nothing", shell.Row), "move the row above the shell's")
		}
	}
	if len(r.site.Zones) > 0 && shell.Row == 0 && !badKind {
		r.wrong(Ref{Table: "zones"}, "kind", "there is no shell, so what lies outside the core would be built of nothing",
			"add a last row of kind shell with its material")
	}
}

// checkShape checks that a row fills in what its kind needs, and no more.
func (r *reading) checkShape(z Zone) {
	name := z.Form()
	if name == "" {
		name = z.Kind
	}
	s := shapes[name]
	filled := z.filledIn()
	for _, column := range s.needs {
		if !slices.Contains(filled, column) {
			r.wrong(z.Ref, column, "a "+s.called+" needs it", "fill it in")
		}
	}
	var spare []string
	for _, column := range filled {
		if !slices.Contains(s.needs, column) && !slices.Contains(s.takes, column) {
			spare = append(spare, column)
		}
	}
	switch {
	case len(spare) == 0:
	case z.Kind == "shell":
		r.wrong(z.Ref, spare[0], "a shell takes all that is left, so it has no "+strings.Join(spare, ", ")+" of its own",
			"leave the cell blank; the outline of the dam stands in crest and faces")
	default:
		r.wrong(z.Ref, spare[0], "a "+s.called+" has no "+strings.Join(spare, ", "), "leave the cell blank")
	}
	r.checkTop(z, name)
	r.checkLayer(z, name)
}

// checkTop checks the tops of cores and chimneys and the slopes of cores and toe
// drains.
func (r *reading) checkTop(z Zone, name string) {
	switch {
	case z.TopElevation.Given && z.TopBelowCrest.Given && (name == "core" || name == "chimney"):
		r.wrong(z.Ref, "top elevation", "stands beside `top below crest`", "keep one of the two")
	case name == "core" && !z.TopElevation.Given && !z.TopBelowCrest.Given:
		r.wrong(z.Ref, "top elevation", "a core needs its top", "give `top elevation` or `top below crest`")
	}
	if name == "core" && z.UpstreamSlope.Value+z.DownstreamSlope.Value < 0 {
		r.wrong(z.Ref, "upstream slope", "the core grows narrower going down", "let the two slopes add up to zero or more")
	}
	if name == "toe" && (z.UpstreamSlope.Value < 0 || z.DownstreamSlope.Value < 0) {
		r.wrong(z.Ref, "upstream slope", "a side of a toe drain leans in", "write 0 for a vertical side or more")
	}
}

// checkLayer checks what holds between the cells of a layer, and that there is
// what it lies against.
func (r *reading) checkLayer(z Zone, name string) {
	if z.FromElevation.Or(math.Inf(-1)) >= z.ToElevation.Or(math.Inf(1)) {
		r.wrong(z.Ref, "to elevation", "is not above `from elevation`", "swap the two or mend one")
	}
	if z.FromOffset.Or(math.Inf(-1)) >= z.ToOffset.Or(math.Inf(1)) {
		r.wrong(z.Ref, "to offset", "is not beyond `from offset`", "swap the two or mend one; offsets are negative upstream")
	}
	has := func(kind string, like func(Zone) bool) bool {
		return slices.ContainsFunc(r.site.Zones, func(o Zone) bool { return (o.Kind == kind || o.Kind == "") && like(o) })
	}
	switch {
	case z.Side == "crest" && name != "cover":
		r.wrong(z.Ref, "side", "only a cover lies on the crest", "write upstream or downstream")
	case z.Side == "crest" && (z.FromElevation.Given || z.ToElevation.Given):
		r.wrong(z.Ref, "from elevation", "a cover of the crest lies on all of it", "leave `from elevation` and `to elevation` blank")
	case name == "chimney" && !has("core", func(Zone) bool { return true }):
		r.wrong(z.Ref, "kind", "a chimney lies against a core, and there is none",
			"add a core; for a blanket on the foundation give `from offset` and `to offset`, for a toe drain `top width`")
	case name == "bedding" && z.Side != "" && !has("facing", func(o Zone) bool { return o.Side == z.Side || o.Kind == "" }):
		r.wrong(z.Ref, "kind", "a bedding lies under a facing, and there is none on the "+z.Side+" face", "add a facing on that side")
	}
}
