package terrain

import (
	"fmt"
	"strings"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// drawnAlignment is an alignment as its file has it.
type drawnAlignment struct {
	name      string
	start     float64
	parts     []drawnPart
	fault     error
	equations int
}

// drawnPart is a line or a curve with the ends that were given.
type drawnPart struct {
	line               int
	turn               geometry.Turn
	start, end, center drawnPlace
}

// drawnPlace is a place of its own or that of a named point.
type drawnPlace struct {
	given  bool
	refers string
	at     [3]float64
}

// alignment reads an alignment.
func (x *landXML) alignment(e element) error {
	a := &drawnAlignment{name: strings.Clone(e.attr("name"))}
	if text := strings.TrimSpace(e.attr("staStart")); text != "" {
		v, ok := parseDecimal([]byte(text))
		if !ok {
			a.fault = x.faultAt(e.line, fmt.Sprintf("the start station %q of the alignment is not a number", shorten(text)), "export it again")
		}
		a.start = v
	}
	x.alignments = append(x.alignments, a)
	return x.inside(e, func(in element) error {
		switch in.name {
		case "CoordGeom":
			return x.inside(in, func(part element) error { return x.alignmentPart(a, part) }, nil)
		case "StaEquation":
			a.equations++
		}
		return x.skip(in)
	}, nil)
}

func (x *landXML) alignmentPart(a *drawnAlignment, e element) error {
	p := drawnPart{line: e.line}
	switch e.name {
	case "Line":
	case "Curve":
		switch e.attr("rot") {
		case "ccw":
			p.turn = geometry.TurnsLeft
		case "cw":
			p.turn = geometry.TurnsRight
		default:
			a.blame(x.faultAt(e.line, "a curve does not say which way it turns (rot cw or ccw)", "export the alignment again"))
		}
	case "IrregularLine":
		return x.inside(e, func(in element) error {
			list, err := x.list(nil, in, 0)
			for i := 1; i < len(list); i++ {
				a.parts = append(a.parts, drawnPart{line: in.line, start: drawnPlace{given: true, at: list[i-1]}, end: drawnPlace{given: true, at: list[i]}})
			}
			return err
		}, nil)
	case "Feature":
		return x.skip(e)
	default:
		a.blame(x.faultAt(e.line, fmt.Sprintf("the alignment holds a <%s>; a dam's centreline is made of lines and circular curves", shorten(e.name)),
			"draw it with lines and circular curves, or give a table centreline"))
		return x.skip(e)
	}
	err := x.inside(e, func(in element) error {
		to := map[string]*drawnPlace{"Start": &p.start, "End": &p.end, "Center": &p.center}[in.name]
		if to == nil {
			return x.skip(in)
		}
		refers, at, err := x.place(in)
		*to = drawnPlace{true, refers, at}
		return err
	}, nil)
	if !p.start.given || !p.end.given || p.turn != geometry.TurnsNot && !p.center.given {
		a.blame(x.faultAt(e.line, fmt.Sprintf("a <%s> lacks its start, end or centre", e.name), "export the alignment again"))
	}
	a.parts = append(a.parts, p)
	return err
}

// blame keeps the first thing that is wrong. It matters only if the alignment is
// used.
func (a *drawnAlignment) blame(err error) {
	if a.fault == nil {
		a.fault = err
	}
}

// layOut converts an alignment.
func (x *landXML) layOut(a *drawnAlignment, g *gatherer) Alignment {
	out := Alignment{Name: a.name, Start: g.plan.ToSI(a.start)}
	place := func(p drawnPlace, line int) orb.Point {
		at := p.at
		if p.refers != "" {
			var err error
			if at, err = x.refer(p.refers, line); err != nil {
				a.blame(err)
			}
		}
		if err := g.soundPlace(fmt.Sprintf("line %d", line), at[1], at[0]); err != nil {
			a.blame(err)
			return orb.Point{}
		}
		return g.place(at[1], at[0])
	}
	for _, p := range a.parts {
		if !p.start.given || !p.end.given {
			continue
		}
		part := geometry.Part{From: place(p.start, p.line), To: place(p.end, p.line), Turn: p.turn}
		if p.center.given {
			part.Center = place(p.center, p.line)
		}
		g.see(part.From)
		g.see(part.To)
		out.Parts = append(out.Parts, part)
	}
	if len(out.Parts) == 0 {
		a.blame(x.s.fault("", fmt.Sprintf("the alignment %q holds no lines or curves", shorten(a.name)), "export it again with its geometry"))
	}
	if a.equations > 0 {
		out.Notes = append(out.Notes, "the alignment's station equations are not used: stations run on from its start")
	}
	if a.fault != nil {
		out.Fault = x.s.located(a.fault).(*Error)
	}
	return out
}
