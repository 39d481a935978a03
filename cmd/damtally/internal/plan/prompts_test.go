package plan_test

import (
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// Prompts set figures side by side and never say that a design will do.
func TestPrompts(t *testing.T) {
	zones := "zone,kind,material,top below crest (ft),top width (ft),upstream slope,downstream slope,side,thickness (ft)\n" +
		"core,core,clay,1,6,0.5,0.5,,\nsand,filter,sand,,,,,downstream,3\nfill,shell,clay,,,,,,\n"
	for _, c := range []struct{ name, table, text, level, want string }{
		// The dam is 105 - 90 = 15 ft high on the centreline and 12 ft wide.
		{"wide enough", "", "", "note", "the crest is 12.0 ft wide at its narrowest and the dam 15.0 ft high on the centreline; least widths published for that height: 10.0 ft, 8.0 ft, 10.0 ft"},
		{"narrow", "crest", "elevation (ft),width (ft)\n105,8\n", "look", "the crest is 8.0 ft wide at its narrowest"},
		{"slopes", "", "", "look", "the steepest part of the upstream face is 3:1, of the downstream face 2:1; published as steepest, upstream and downstream: 2.5:1 and 2:1 for any soil (together 5); 3:1 and 2.5:1 for any soil"},
		{"flat slopes", "faces", "side,slope (h:v)\nupstream,3\ndownstream,3\n", "note", "the steepest part of the upstream face is 3:1, of the downstream face 3:1"},
		{"slopes by soil", "materials", "material,source,soil class,shrink factor (-)\nclay,borrow,ML,0.9\nsand,borrow,,0.9\n", "look", "3:1 and 3:1 for silty clay, clayey silt (together 6)"},
		{"no high water", "site", "item,value\noutput units,us\nnormal pool elevation,100 ft\n", "look", "the freeboard is not figured, since `design high water elevation` is not set"},
		{"freeboard", "site", "item,value\noutput units,us\ndesign high water elevation,101 ft\n", "note", "freeboard: the settled crest is at its lowest 105.00 ft and the design high water 101.00 ft, 4.0 ft apart; least published: 1.0 ft for a lake shorter than 660 ft"},
		{"little freeboard", "site", "item,value\noutput units,us\ndesign high water elevation,103 ft\n", "look", "2.0 ft apart"},
		{"settled crest counts", "site", "item,value\noutput units,us\ncrest is,built\nsettlement allowance,5 %\ndesign high water elevation,104.4 ft\n", "danger", "`design high water elevation`, 104.40 ft, lies at or above the settled crest at its lowest, 104.2"},
		{"pool over the crest", "site", "item,value\noutput units,us\nnormal pool elevation,106 ft\n", "danger", "`normal pool elevation`, 106.00 ft, lies at or above the settled crest"},
		{"levels mixed up", "site", "item,value\noutput units,us\nnormal pool elevation,102 ft\nspillway elevation,101 ft\n", "look", "`spillway elevation`, 101.00 ft, lies below `normal pool elevation`, 102.00 ft"},
		{"trench", "trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n1+00,6,1,4\n2+00,6,1,6\n", "look", "the cutoff trench is at its narrowest 6.0 ft wide at the bottom, its sides at their steepest 1:1, and it is up to 6.0 ft deep"},
		{"right trench", "trench", "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n1+00,8,1.5,4\n2+00,8,1.5,6\n", "note", "the cutoff trench is at its narrowest 8.0 ft wide"},
		{"filters", "zones", zones, "look", "sand is figured as volume only: no table holds a gradation"},
		{"law", "", "", "note", "the crest stands up to 15.0 ft over the lower of ground and downstream toe"},
		{"law, with water", "site", "item,value\noutput units,us\nnormal pool elevation,100 ft\n", "note", "and the water at the upstream toe 10.0 ft at the normal pool"},
	} {
		texts := pond
		if c.table != "" {
			texts = changed(pond, c.table, c.text)
		}
		r := run(t, tables(t, texts))
		if !hasNote(r.Notes, c.level, c.want) {
			t.Errorf("%s: no %s with %q in\n%s", c.name, c.level, c.want, listed(r.Notes))
		}
	}
}

func listed(notes []site.Note) string {
	text := ""
	for _, n := range notes {
		text += n.Level + ": " + n.Text + "\n"
	}
	return text
}

// The lake's length at the design high water chooses the row. In the trough of the
// lake's test, water at 11 m lies from the face at y = 4 m, 22 m wide, to its tip at
// y = 71 m: 68 m at the most (224 ft), from a corner at the face to the tip, which is
// the root of 67^2 + 11^2.
func TestFreeboardByLength(t *testing.T) {
	r := run(t, tables(t, trough(t, "design high water elevation,11 m\n")))
	for _, want := range []string{
		"least published: 0.3 m for a lake shorter than 660 ft, 0.3 m for any pond",
		"the lake is then up to 67.9 m long in a straight line from shore to shore",
	} {
		if !hasNote(r.Notes, "note", want) {
			t.Errorf("no note with %q in\n%s", want, listed(r.Notes))
		}
	}
}
