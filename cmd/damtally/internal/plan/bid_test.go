package plan_test

import (
	"slices"
	"testing"
)

// TestUnpaidWork sees that a line goes once an item measures it, in any state.
func TestUnpaidWork(t *testing.T) {
	allowed := changed(pond, "site", pond["site"]+"settlement allowance,10 %\ncrest is,settled\n")
	for _, c := range []struct {
		items string
		want  []string
	}{
		{"neat,yd3,4,fill\n", []string{"stripping", "settlement", "loss", "pit_stripping"}},
		{"built,yd3,4,total compacted\ntopsoil,yd3,1,stripping\n", []string{"loss", "pit_stripping"}},
		{"zone,yd3,4,zone fill\n", []string{"stripping", "loss", "pit_stripping"}},
		{"dug,yd3,4,bank clay\npits,yd3,1,pit stripping\n", []string{"stripping"}},
	} {
		texts := changed(allowed, "prices", "item,unit,unit price,quantity of\n"+c.items)
		texts["pits"] = "pit,material,side slope (h:v),depth (ft),ground elevation (ft),strip depth (ft)\nnorth,clay,2,10,100,0.5\n"
		r := run(t, tables(t, texts))
		var got []string
		for _, u := range r.Unpaid {
			got = append(got, u.Key)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%q leaves %v, want %v", c.items, got, c.want)
		}
		if !hasNote(r.Notes, "note", "no pay item measures these") {
			t.Errorf("%q: no note tells of it", c.items)
		}
	}
}

// TestBidBelowCost sees that a bid below its own cost is told of.
func TestBidBelowCost(t *testing.T) {
	head := "item,unit,unit price,unit cost,quantity of\n"
	if r := run(t, tables(t, changed(pond, "prices", head+"fill,yd3,4,5,total compacted\n"))); !hasNote(r.Notes, "look", "below your own cost") {
		t.Error("nothing tells of a bid below its cost")
	}
	if r := run(t, tables(t, changed(pond, "prices", head+"fill,yd3,4,3,total compacted\n"))); hasNote(r.Notes, "look", "below your own cost") {
		t.Error("a bid above its cost is told to be below")
	}
}
