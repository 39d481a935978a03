package plan_test

import "testing"

// Where the faces change at the highest section, each of the two sections there is
// set beside the slopes of its own side alone: 20 ft high, 12 ft wide, 3 to 1
// downstream, and upstream 3 to 1 before station 3+00 and 2 to 1 after it.
func TestHighestSectionWhereTheFacesChange(t *testing.T) {
	texts := changed(vale(), "faces", "side,slope (h:v),from station (ft),to station (ft)\nupstream,3,0,300\nupstream,2,300,600\ndownstream,3,,\n")
	r := run(t, tables(t, changed(texts, "stripping", "")))
	for _, c := range r.Checks {
		if c.Key != "highest_section" {
			continue
		}
		const ft2 = 0.3048 * 0.3048
		near(t, "by the formula", c.Other/ft2, 20*(12+20*(3+3)/2.0), 1e-9)
		near(t, "by the section", c.Ours/ft2, 20*(12+20*(3+3)/2.0), 1e-9)
		return
	}
	t.Error("no check of the highest section")
}
