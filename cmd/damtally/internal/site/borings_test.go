package site

import "testing"

const pitHead = "pit,ground elevation (ft)\nA,50\n"

func pitSquare(name string) string {
	return "of,x (ft),y (ft)\n" + name + ",0,0\n" + name + ",100,0\n" + name + ",100,100\n" + name + ",0,100\n"
}

func TestHoles(t *testing.T) {
	s := read(t, plainSite().with(tables{
		"pits":     pitHead,
		"outlines": pitSquare("A"),
		"borings": `hole,x (m),y (m),from (m),to (m),material,pit,usable,rippable,water depth (m),elevation (m)
B1,10,10,1,3,fill,a,,,2.5,101
b1,10,10,0,1,Top soil,,,,,
B1,10,10,3,4,soft rock,,,,2.5,
B2,20,10,0,2,FILL,A,no,,,
B2,20,10,2,3,marl,,,no,,
F1,5,5,0,2,sand,,,,,
`,
	}).folder(t))
	if len(s.Holes) != 3 {
		t.Fatalf("%d holes", len(s.Holes))
	}
	b1 := s.Holes[0]
	same(t, "first", []any{b1.Name, b1.Pit, b1.Water.Value, b1.Elevation.Value, b1.Ref.Row, len(b1.Layers)}, []any{"B1", "A", 2.5, 101.0, 2, 3})
	var words []string
	for _, h := range s.Holes {
		for _, l := range h.Layers {
			kind := l.Material + " " + l.Usable
			if l.Topsoil() {
				kind += " topsoil"
			}
			if l.Hard() {
				kind += " hard"
			}
			words = append(words, kind)
		}
	}
	same(t, "layers by depth", words, []string{"Top soil no topsoil", "fill yes", "soft rock no hard", "fill no", "marl no hard", "sand no"})
	same(t, "in pit A", len(s.HolesOf("a")), 2)
	same(t, "under the dam", s.Holes[2].Pit, "")
}

func TestWrongBorings(t *testing.T) {
	head := "hole,x (m),y (m),from (m),to (m),material,layer,pit,usable,rippable,water depth (m)\n"
	checkWrong(t, []wrongCase{
		{
			"rows of a hole",
			tables{
				"pits":     pitHead,
				"outlines": pitSquare("A"),
				"borings": head + `B1,10,10,0,1,fill,,A,,,3
B1,11,10,1,2,fill,,A,,,4
B2,10,10,0,1,fill,,B,,,
B3,20,10,0.5,1,fill,,A,,,
B4,30,10,0,1,fill,,A,,,
B4,30,10,2,3,fill,,A,,,
B5,40,10,0,2,fill,,A,,,
B5,40,10,1,3,fill,,A,,,
B6,50,10,2,1,fill,,A,,,
B7,60,10,0,1,topsoil,,A,yes,,
B8,70,10,0,1,marl,,A,yes,,
B9,80,10,0,1,fill,,A,yes,no,
`,
			},
			[]string{
				`borings row 3, x: hole "B1" stands elsewhere in row 2; give every row of a hole the same x and y`,
				`borings row 3, water depth: differs from the row above of the same hole; write it once, in the first row of the hole`,
				`borings row 4, x: hole "B2" stands at the same place as hole "B1"; mend its coordinates, or give both the same name`,
				`borings row 4, pit: "B" is no pit of the table pits; the choices are: A`,
				`borings row 5, from: the first layer of hole "B3" does not begin at the ground; begin at 0, also where the soil is topsoil or of no use`,
				`borings row 7, from: leaves a gap below the layer in row 6; let each layer begin where the one above it ends`,
				`borings row 9, from: begins above the bottom of the layer in row 8; let each layer begin where the one above it ends`,
				"borings row 10, to: is not below `from`; write depths below the ground, the bottom of the layer under `to`",
				`borings row 11, usable: topsoil cannot go into the dam; write no, or name the soil by what it is`,
				`borings row 12, material: "marl" is not the dam's one material, which is called fill; the choices are: fill`,
				`borings row 13, rippable: the layer is usable, yet no ripper loosens it; write yes in one of the two, or no in both`,
			},
		},
		{
			"no unit",
			tables{"borings": "hole,x,y (m),from (m),to (m),material\nB1,10,10,0,1,fill\nB1,10,10,1,2,fill\n"},
			[]string{"borings row 1, x: the header has no unit; write \"x (ft)\"; length takes m mm cm km ft ftUS in yd mi"},
		},
		{"no pits", tables{"borings": head + "B1,10,10,0,1,fill,,A,,,\n"}, nil},
		{
			"neither floor nor holes",
			tables{"pits": pitHead, "outlines": pitSquare("A"), "borings": head + "B1,10,10,0,1,fill,,,,,\n"},
			[]string{
				`pits row 2, material: is blank; name the soil that the pit holds, or give holes of the pit in borings`,
				`pits row 2, floor elevation: there is neither a floor elevation nor a depth; give one of the two, or give holes of the pit in borings, whose layers the floor then follows`,
			},
		},
		{"holes say all", tables{"pits": pitHead, "outlines": pitSquare("A"), "borings": head + "B1,10,10,0,1,fill,,A,,,\n"}, nil},
	})
}
