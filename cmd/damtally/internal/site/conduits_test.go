package site

import "testing"

const conduitHeader = "conduit,station (ft),diameter (ft),offset from (ft),offset to (ft),invert elevation (ft),outlet invert elevation (ft),trench width (ft),hand compacted width (ft)\n"

func TestConduits(t *testing.T) {
	s := read(t, plainSite().with(tables{"conduits": conduitHeader + "outlet,100,2,-40,50,10,9,5,2\ndrain,120,1,,,,,,\n"}).folder(t))
	same(t, "outlet", s.Conduits[0], Conduit{
		Name: "outlet", Station: 30.48, Diameter: 0.6096, OffsetFrom: Number{-12.192, true}, OffsetTo: Number{15.24, true},
		Invert: Number{3.048, true}, OutletInvert: Number{2.7432, true}, TrenchWidth: 1.524, HandWidth: 0.6096,
	}, butRefs, nearly)
	same(t, "drain", s.Conduits[1].Invert, Number{})
	checkWrong(t, []wrongCase{{
		"pipes that cannot be",
		tables{"conduits": conduitHeader + "outlet,100,2,50,-40,,,1,2\nOutlet,120,1,,,,9,,\n"},
		[]string{
			"conduits row 2, offset to: is not beyond `offset from`; swap the two or mend one; offsets are negative upstream",
			"conduits row 2, invert elevation: is blank, but the trench is dug down to it; fill it in, or leave `trench width` blank",
			"conduits row 2, trench width: is less than the pipe's diameter; check both and their units",
			`conduits row 3, conduit: "Outlet" stands in row 2 already; give each its own name`,
			"conduits row 3, invert elevation: is blank beside an `outlet invert elevation`; give both, or the one where the pipe begins alone",
		},
	}})
}
