package terrain

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// FuzzGeoTIFF feeds the reader damaged files, whole and through a window.
func FuzzGeoTIFF(f *testing.F) {
	for _, data := range seedTIFFs(f) {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { checkAnyBytes(t, data, "a.tif", "geotiff") })
}

// FuzzASCIIGrid feeds the reader damaged texts, whole and through a window.
func FuzzASCIIGrid(f *testing.F) {
	f.Add([]byte(smallASCII()))
	f.Add([]byte(byteOrderMark + "NCOLS 3\r\nNROWS 2\r\nXLLCORNER 100\r\nYLLCENTER 2\r\nDX 10\r\nDY 5\r\nNODATA_VALUE nan\r\n1 2 3\r\n4 NaN 6.5e0\r\n"))
	f.Add([]byte("nodata_value -9999\nyllcorner 200\nxllcorner 100\ncellsize 10\nnrows 2\nncols 3\n-9999 2 3 4 5 6.5"))
	f.Fuzz(func(t *testing.T, data []byte) { checkAnyBytes(t, data, "a.asc", "ascii grid") })
}

// checkAnyBytes checks what holds for whatever a file holds: an *Error or sound
// ground, the same twice, in bounded memory.
func checkAnyBytes(t *testing.T, data []byte, name, word string) {
	for _, opt := range []Options{
		{Unit: unitOf("ft"), Format: word, Shift: 1, Origin: orb.Point{3, -4}},
		{Format: word},
		{Unit: unitOf("m"), Format: word, Window: orb.Bound{Min: orb.Point{2, 3}, Max: orb.Point{7, 6}}},
	} {
		var found Found
		var err error
		used := memory(func() { found, err = readBytes(data, name, opt) })
		if most := uint64(mostMemory + 4*believedRatio*len(data)); used > most {
			t.Fatalf("took %d bytes for a file of %d", used, len(data))
		}
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.What == "" || e.Mend == "" {
				t.Fatalf("error %#v", err)
			}
			if strings.ContainsFunc(e.Error(), func(r rune) bool { return r < ' ' }) {
				t.Fatalf("control characters in %q", e)
			}
			continue
		}
		checkSoundGround(t, found.Surface.(*geometry.Grid))
	}
}

// checkSoundGround checks bound, range and a slice from corner to corner.
func checkSoundGround(t *testing.T, g *geometry.Grid) {
	b := g.Bound()
	low, high := g.Range()
	for _, v := range [...]float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1], low, high} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("bound %v, range %v to %v", b, low, high)
		}
	}
	if s := g.Summary(); s.Cols > 5000 || s.Rows > 5000 {
		return // a slice across is long
	}
	for _, piece := range g.Slice(nil, b.Min, b.Max) {
		for i, k := range piece {
			slack := 1e-9 * max(1, math.Abs(low), math.Abs(high))
			if !(k.Elevation >= low-slack && k.Elevation <= high+slack) || i > 0 && !(k.Offset > piece[i-1].Offset) {
				t.Fatalf("knots %v, range %v to %v", piece, low, high)
			}
		}
	}
}
