package workbook

import "testing"

// Columns are out of view only on the sheet of a layer that lies outside the outline
// all along, and hold nothing but zeros there.
func TestOnlyZerosAreOutOfView(t *testing.T) {
	found := 0
	for _, r := range []string{"demo", "plain", "season"} {
		b := build(planned(t, readSite(t, r)), "test")
		for k, s := range b.zoneSheets {
			if (len(s.hidden) > 0) != b.allOutside(k) {
				t.Errorf("%s: %d columns out of view", s.name, len(s.hidden))
			}
			for col := range s.hidden {
				found++
				for row := rowVolumeHead + 1; row <= s.lastRow(); row++ {
					if c := s.at(row, col); c != nil && c.content.val.kind == isNumber && c.content.val.num != 0 {
						t.Errorf("%s: %s holds %g", s.name, address(row, col), c.content.val.num)
					}
				}
			}
		}
	}
	if found == 0 {
		t.Error("no layer lies outside all along")
	}
}
