package site

import (
	"fmt"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// nameTable is the names that a table defines: by key, as written there.
type nameTable struct {
	written map[string]string
	first   map[string]Ref
}

func (n nameTable) list() []string {
	names := make([]string, 0, len(n.written))
	for _, k := range sortedKeys(n.written) {
		names = append(names, n.written[k])
	}
	return names
}

// nameTables gathers the names that tables define, and reports those that a
// table defines twice.
func (r *reading) nameTables() {
	s := &r.site
	r.names = map[string]nameTable{}
	gather(r, "materials", "material", s.Materials, func(m Material) (Ref, string) { return m.Ref, m.Name })
	gather(r, "zones", "zone", s.Zones, func(z Zone) (Ref, string) { return z.Ref, z.Zone })
	gather(r, "conduits", "conduit", s.Conduits, func(c Conduit) (Ref, string) { return c.Ref, c.Name })
	gather(r, "pits", "pit", s.Pits, func(p Pit) (Ref, string) { return p.Ref, p.Name })
	gather(r, "density", "id", s.Density, func(d DensityTest) (Ref, string) { return d.Ref, d.ID })
	for table, column := range map[string]string{"cuts": "cut", "blankets": "blanket"} {
		gather(r, table, column, r.owners[table], func(o owner) (Ref, string) { return o.ref, o.name })
	}
	samples := nameTable{map[string]string{}, map[string]Ref{}}
	for _, p := range s.Proctor {
		if _, ok := samples.written[key(p.Sample)]; !ok && p.Sample != "" {
			samples.written[key(p.Sample)] = p.Sample
		}
	}
	r.names["proctor"] = samples
	r.names["known materials"] = r.knownMaterials()
}

// owner is a name of a table of a later version that may have an outline.
type owner struct {
	ref  Ref
	name string
}

// gather collects the names of one table and reports those that stand twice.
func gather[T any](r *reading, table, column string, rows []T, name func(T) (Ref, string)) {
	n := nameTable{map[string]string{}, map[string]Ref{}}
	for _, row := range rows {
		ref, text := name(row)
		k := key(text)
		if k == "" {
			continue
		}
		if first, twice := n.first[k]; twice {
			r.wrong(ref, column, fmt.Sprintf("%s stands in row %d already", units.Quote(text), first.Row), "give each its own name")
			continue
		}
		n.written[k], n.first[k] = text, ref
	}
	r.names[table] = n
}

// knownMaterials are those of the table `materials`; without it, those that the
// zones and blankets name; without zones the one material of the dam, fill.
func (r *reading) knownMaterials() nameTable {
	if r.has("materials") {
		return r.names["materials"]
	}
	n := nameTable{map[string]string{}, nil}
	for _, z := range r.site.Zones {
		for _, m := range z.Materials {
			if _, ok := n.written[key(m)]; !ok {
				n.written[key(m)] = m
			}
		}
	}
	if !r.has("zones") {
		n.written["fill"] = "fill"
	}
	for _, b := range r.site.Blankets {
		if _, ok := n.written[key(b.Material)]; !ok && b.Material != "" {
			n.written[key(b.Material)] = b.Material
		}
	}
	return n
}

// refer checks that a name is one that a table defines, and returns it as it is
// written there. what says what the names are, such as "no material".
func (r *reading) refer(ref Ref, column, name, table, what string) string {
	names := r.names[table]
	if name == "" {
		return ""
	}
	if written, ok := names.written[key(name)]; ok {
		return written
	}
	list := names.list()
	mend := "did you mean " + units.Quote(nearest(name, list)) + "?"
	if nearest(name, list) == "" {
		mend = suggest(name, list)
		if len(list) == 0 {
			mend = "mend the name"
		}
	}
	if parts := names.parted(name); parts != "" {
		mend = "part names by semicolons: " + parts
	}
	r.wrong(ref, column, units.Quote(name)+" is "+what, mend)
	return name
}

// parted is a list of names with semicolons in place of commas, "" when the
// text is no list of names that the table defines.
func (n nameTable) parted(text string) string {
	parts := strings.Split(text, ",")
	for i, p := range parts {
		written, ok := n.written[key(p)]
		if !ok || len(parts) < 2 {
			return ""
		}
		parts[i] = written
	}
	return strings.Join(parts, "; ")
}

// material refers to a material.
func (r *reading) material(ref Ref, name string) string {
	if r.has("materials") && !r.whole("materials") {
		return name
	}
	what := "no material of the table materials"
	if !r.has("materials") {
		what = "a material that no zone is built of"
		if !r.has("zones") {
			what = "not the dam's one material, which is called fill"
		}
	}
	return r.refer(ref, "material", name, "known materials", what)
}

// referIn refers to a name of a table when the site holds that table.
func (r *reading) referIn(ref Ref, column, name, table, what string) string {
	if !r.has(table) || !r.whole(table) {
		return name
	}
	return r.refer(ref, column, name, table, what)
}

// uniqueMaterials refers each material of a zone and reports repeats.
func (r *reading) uniqueMaterials(z *Zone) {
	for i, name := range z.Materials {
		if slices.ContainsFunc(z.Materials[:i], func(m string) bool { return key(m) == key(name) }) {
			r.wrong(z.Ref, "material", units.Quote(name)+" stands twice", "name each material once")
		}
		z.Materials[i] = r.material(z.Ref, name)
	}
}
