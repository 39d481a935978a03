package plan

import (
	"errors"
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// problemsOf says in the tables' words what a dam's geometry does not allow.
func (j *Job) problemsOf(err error) site.Problems {
	var joined interface{ Unwrap() []error }
	if errors.As(err, &joined) {
		var out site.Problems
		for _, e := range joined.Unwrap() {
			out = append(out, j.problemsOf(e)...)
		}
		return out
	}
	return site.Problems{j.problemOf(err)}
}

func (j *Job) problemOf(err error) site.Problem {
	switch e := err.(type) {
	case *earthwork.GroundShortError:
		if e.Trench {
			return site.Problem{
				Ref: site.Ref{Table: j.groundTable()},
				What: fmt.Sprintf("at station %s the trench runs off the ground on the %s side, which ends at offset %s%s",
					j.station(e.Station), e.Side, j.length(e.Edge), others(e.Others)),
				Mend: "survey farther out on that side, or check the trench's offset and width",
			}
		}
		return site.Problem{
			Ref: site.Ref{Table: j.groundTable()},
			What: fmt.Sprintf("at station %s the ground ends %s before the %s face meets it%s",
				j.station(e.Station), j.length(e.By), e.Side, others(e.Others)),
			Mend: "survey farther out on that side, or set `extend ground` in `site` to level or slope",
		}
	case *earthwork.NeverMeetsError:
		return site.Problem{
			Ref:    j.faceRef(e.Side),
			Column: "slope",
			What: fmt.Sprintf("at station %s the %s face never meets the ground, which falls away as steeply as the face%s",
				j.station(e.Station), e.Side, others(e.Others)),
			Mend: "survey farther out, or make the face steeper than the ground",
		}
	case *earthwork.NoGroundError:
		return site.Problem{
			Ref:  site.Ref{Table: j.groundTable()},
			What: fmt.Sprintf("at station %s there is no ground on the centreline%s", j.station(e.Station), others(e.Others)),
			Mend: "survey the gap, or set `longest edge` in `site` larger if it cut the gap out",
		}
	case *earthwork.BelowGroundError:
		return site.Problem{
			Ref:    j.crestRef(),
			Column: "elevation",
			What: fmt.Sprintf("the crest lies below the ground all along; it comes nearest at station %s, %s below",
				j.station(e.Closest), j.length(e.By)),
			Mend: "check the crest's elevation, its unit and the survey's datum",
		}
	case *earthwork.UncoveredError:
		return site.Problem{
			Ref: site.Ref{Table: "zones"},
			What: fmt.Sprintf("at station %s, %s of the section belong to no zone%s",
				j.station(e.Station), j.area(e.Area), others(e.Others)),
			Mend: "add a zone of kind shell as the last row",
		}
	case *earthwork.NoReachError:
		return site.Problem{
			Ref: j.crestRef(), Column: "station",
			What: fmt.Sprintf("the crest runs from station %s to %s and the ground from %s to %s, so they have nothing in common",
				j.station(e.CrestFrom), j.station(e.CrestTo), j.station(e.GroundFrom), j.station(e.GroundTo)),
			Mend: "check the stations and their units",
		}
	case *earthwork.NoFaceError:
		return site.Problem{
			Ref: site.Ref{Table: "faces"}, Column: "from station",
			What: fmt.Sprintf("at station %s no %s face stands%s", j.station(e.Station), e.Side, others(e.Others)),
			Mend: "let a row's `from station` and `to station` cover it, or leave both blank",
		}
	}
	if p, ok := j.zoneProblem(err); ok {
		return p
	}
	return site.Problem{What: err.Error(), Mend: "check the design against the ground"}
}

func others(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return " (the worst of 2 sections)"
	}
	return fmt.Sprintf(" (the worst of %d sections)", n+1)
}

// groundTable is the table that the ground comes from.
func (j *Job) groundTable() string {
	switch {
	case len(j.site.Profile) > 0:
		return "profile"
	case len(j.site.Shots) > 0:
		return "shots"
	case len(j.site.Survey) == 0 && len(j.site.Surfaces) > 0:
		return "surfaces"
	}
	return "survey"
}

func (j *Job) crestRef() site.Ref {
	if len(j.site.Crest) > 0 {
		return j.site.Crest[0].Ref
	}
	return site.Ref{Table: "crest"}
}

// faceRef is the last row of a side, whose part runs to the ground.
func (j *Job) faceRef(side string) site.Ref {
	ref := site.Ref{Table: "faces"}
	for _, f := range j.site.Faces {
		if f.Side == side {
			ref = f.Ref
		}
	}
	return ref
}
