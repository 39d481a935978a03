package terrain

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/paulmach/orb"
)

// longestWorld is the length up to which a world file is read, in bytes. Six
// numbers take a tenth of it.
const longestWorld = 1 << 10

// worldEndings are those of a world file beside a raster.
var worldEndings = []string{".tfw", ".tifw", ".tiffw", ".wld"}

// worldBeside gives a reader of what stands in a world file beside a raster, "" when
// there is none. Its name is the raster's with another ending, in small or capital
// letters.
func worldBeside(root *os.Root, name string) func() (file, text string) {
	return func() (file, text string) {
		base := strings.TrimSuffix(name, filepath.Ext(name))
		for _, ending := range worldEndings {
			for _, e := range []string{ending, strings.ToUpper(ending)} {
				f, err := root.Open(filepath.FromSlash(base + e))
				if err != nil {
					continue
				}
				b, err := io.ReadAll(io.LimitReader(f, longestWorld+1))
				f.Close()
				if err == nil {
					return base + e, string(b)
				}
			}
		}
		return "", ""
	}
}

// byWorld places the raster by the world file beside it, which holds six numbers:
// the steps of a column and of a row, x and y, in the order A D B E, and the place
// of the middle of the first cell. It reports false when there is no such file.
func (p *tiePlace) byWorld(s *source) (bool, error) {
	if s.world == nil {
		return false, nil
	}
	file, text := s.world()
	if file == "" {
		return false, nil
	}
	words := strings.FieldsFunc(text, unicode.IsSpace)
	var v [6]float64
	for i, w := range words {
		n, ok := parseDecimal([]byte(w))
		if !ok || i >= len(v) || len(text) > longestWorld {
			return false, s.fault(file, "a world file holds six numbers, this one holds "+shorten(w), "export the raster again")
		}
		v[i] = n
	}
	if len(words) < len(v) {
		return false, s.fault(file, "a world file holds six numbers, this one fewer", "export the raster again")
	}
	p.frame.Column, p.frame.Row = orb.Point{v[0], v[1]}, orb.Point{v[2], v[3]}
	p.frame.At = orb.Point{v[4], v[5]}
	p.notes = append(p.notes, "its place is taken from the file "+file+" beside it")
	return true, nil
}
