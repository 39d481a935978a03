package terrain

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// A LandXML 1.2 file (landxml.org, schema LandXML-1.2) names every place as
// northing, easting and, where it has one, elevation. Ids of points are names,
// not positions.

func beginsLandXML(head []byte) bool {
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	return bytes.HasPrefix(head, []byte("<")) || bytes.HasPrefix(head, []byte("\xff\xfe<")) || bytes.HasPrefix(head, []byte("\xfe\xff\x00<"))
}

// landXML is what a file holds, in its own units.
type landXML struct {
	*walker
	unit       string // a name of package units, "" when the file does not say
	known      map[string][3]float64
	surfaces   []*drawnSurface
	alignments []*drawnAlignment
	buffer     []byte
	numbersOf  []float64
	three      []float64
}

func readLandXML(s *source, opt Options) (Found, error) {
	x := &landXML{walker: newWalker(s, opt), known: map[string][3]float64{}}
	root, err := x.root()
	if err != nil {
		return Found{}, err
	}
	if root.name != "LandXML" {
		return Found{}, x.fault(fmt.Sprintf("it is XML, but no LandXML: it begins with <%s>", shorten(root.name)), "export the surface as LandXML 1.2")
	}
	if err := x.inside(root, x.part, nil); err != nil {
		return Found{}, err
	}
	if opt.Unit, err = s.agreeUnit("unit", opt.Unit, x.unit); err != nil {
		return Found{}, err
	}
	g, err := s.gather(opt)
	if err != nil {
		return Found{}, err
	}
	return x.found(g)
}

// part reads a part of the file, or of its groups.
func (x *landXML) part(e element) error {
	switch e.name {
	case "Units":
		return x.inside(e, x.readUnit, nil)
	case "Surfaces", "Alignments":
		return x.inside(e, x.part, nil)
	case "CgPoints":
		return x.inside(e, x.namedPoint, nil)
	case "Surface":
		return x.surface(e)
	case "Alignment":
		return x.alignment(e)
	}
	return x.skip(e)
}

// linearUnits are the words of the attribute linearUnit, in small letters.
var linearUnits = map[string]string{
	"meter": "m", "metre": "m", "millimeter": "mm", "centimeter": "cm", "kilometer": "km",
	"foot": "ft", "feet": "ft", "ussurveyfoot": "ftUS", "inch": "in", "mile": "mi",
}

func (x *landXML) readUnit(e element) error {
	if e.name == "Metric" || e.name == "Imperial" {
		word := e.attr("linearUnit")
		name, ok := linearUnits[strings.ToLower(word)]
		if !ok {
			return x.fault(fmt.Sprintf("its linearUnit %s is not known", units.Quote(shorten(word))), "export it in metres or feet")
		}
		x.unit = name
	}
	return x.skip(e)
}

// namedPoint reads a point that others may refer to by its name.
func (x *landXML) namedPoint(e element) error {
	if e.name == "CgPoints" { // groups may lie in one another
		return x.inside(e, x.namedPoint, nil)
	}
	if e.name != "CgPoint" {
		return x.skip(e)
	}
	v, err := x.coordinates(e)
	if err != nil || len(v) < 2 {
		return err // one that only refers to another, or holds nothing
	}
	p := [3]float64{v[0], v[1], noElevation}
	if len(v) > 2 {
		p[2] = v[2]
	}
	if name := e.attr("name"); name != "" && len(name) <= longestID {
		x.known[name] = p
	}
	return nil
}

// noElevation stands for an elevation that a point does not have.
const noElevation = -1e300

// coordinates reads the numbers of an element, valid until the next is read.
func (x *landXML) coordinates(e element) ([]float64, error) {
	var err error
	x.buffer, x.numbersOf, err = x.numbers(e, x.buffer, x.numbersOf[:0])
	return x.numbersOf, err
}

// place reads a point that has its own coordinates or refers to a named point.
func (x *landXML) place(e element) (reference string, at [3]float64, err error) {
	v, err := x.coordinates(e)
	switch {
	case err != nil:
	case len(v) == 2:
		at = [3]float64{v[0], v[1], noElevation}
	case len(v) == 3:
		at = [3]float64{v[0], v[1], v[2]}
	case len(v) == 0 && e.attr("pntRef") != "":
		reference = strings.Clone(e.attr("pntRef"))
	default:
		err = x.faultAt(e.line, fmt.Sprintf("<%s> has %s, where northing, easting and elevation should stand", e.name, plural(len(v), "number")), "export it again")
	}
	return reference, at, err
}

// refer finds a named point.
func (x *landXML) refer(name string, line int) ([3]float64, error) {
	p, ok := x.known[name]
	if !ok {
		return p, x.faultAt(line, fmt.Sprintf("it refers to a point %s that is not in the file", units.Quote(shorten(name))), "export it again with its points")
	}
	return p, nil
}

// found takes the surface that is meant and all alignments.
func (x *landXML) found(g *gatherer) (Found, error) {
	f := Found{Unit: g.plan}
	for _, a := range x.alignments {
		f.Alignments = append(f.Alignments, x.layOut(a, g))
	}
	drawn, err := x.choose(g.opt.Name)
	if err != nil {
		return f, err
	}
	switch {
	case drawn != nil:
		if err := x.build(drawn, g, &f); err != nil {
			return f, err
		}
	case len(f.Alignments) == 0:
		return f, x.s.fault("", "it holds neither a surface nor an alignment", "export the surface, with its points and faces")
	}
	f.Bound = g.bound
	return f, nil
}

// choose picks a surface: the one of that name, or the only one.
func (x *landXML) choose(name string) (*drawnSurface, error) {
	if len(x.surfaces) == 0 {
		return nil, nil
	}
	var names []string
	for _, d := range x.surfaces {
		if strings.EqualFold(strings.TrimSpace(d.name), strings.TrimSpace(name)) {
			return d, nil
		}
		names = append(names, units.Quote(shorten(d.name)))
	}
	if len(x.surfaces) == 1 {
		return x.surfaces[0], nil
	}
	e := x.s.fault("", fmt.Sprintf("it holds %d surfaces: %s", len(names), strings.Join(names[:min(len(names), mostNames)], ", ")),
		"write the name of the one that is meant as the row's `name`")
	e.Column = "name"
	return nil, e
}

// mostNames is how many names a message lists.
const mostNames = 20
