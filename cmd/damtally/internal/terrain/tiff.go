package terrain

import (
	"bytes"
	"fmt"
	"math"
)

// beginsTIFF tells a TIFF or BigTIFF file by its first bytes.
func beginsTIFF(head []byte) bool {
	for _, magic := range []string{"II*\x00", "MM\x00*", "II+\x00", "MM\x00+"} {
		if bytes.HasPrefix(head, []byte(magic)) {
			return true
		}
	}
	return false
}

// readTIFF reads a raster of elevations: a GeoTIFF file, OGC 19-008r4, in the
// layouts that layOut accepts. Only the window is read.
func readTIFF(s *source, opt Options) (Found, error) {
	t, first, err := s.openTIFF()
	if err != nil {
		return Found{}, err
	}
	m, err := t.image(first)
	if err != nil {
		return Found{}, err
	}
	g, err := t.geoKeys(m.tags)
	if err != nil {
		return Found{}, err
	}
	band, err := t.bandMetadata(m)
	if err != nil {
		return Found{}, err
	}
	place, err := t.placed(m, g)
	if err != nil {
		return Found{}, err
	}
	if g.vertical.SI == 0 {
		g.vertical = band.unit
	}
	plan, elevation, notes, err := t.geoUnits(g, opt)
	if err != nil {
		return Found{}, err
	}
	r := place.metres(plan, opt.Origin)
	found := Found{Unit: plan, Bound: r.bound(), Notes: append(notes, place.notes...)}
	w := r.window(opt)
	if w.empty() {
		return found, s.besides(found.Bound, opt)
	}
	if err := s.tooLarge(w); err != nil {
		return Found{}, err
	}
	step, base, err := t.steps(place, band)
	if err != nil {
		return Found{}, err
	}
	found.Notes = append(found.Notes, m.remarks(g, step, base)...)
	scale, add := elevations(elevation, opt.Shift, step, base)
	values := newSink(w, m.wide(), scale, add)
	if err := t.readWindow(m, w, values, ground{scale, add - opt.Shift}, opt.Progress); err != nil {
		return Found{}, err
	}
	found.Surface, err = s.surface(values, r, w)
	return found, err
}

// remarks says what of the file was left out or taken into account.
func (m *tiffImage) remarks(g geo, step, base float64) []string {
	var notes []string
	if step != 1 || base != 0 {
		notes = append(notes, fmt.Sprintf("the file says that an elevation is its value times %v plus %v", step, base))
	}
	if m.others > 0 {
		notes = append(notes, fmt.Sprintf("the file holds %d more images; the first is used", m.others))
	}
	if m.masks > 0 {
		notes = append(notes, "the file holds a mask, which is not read; cells that it alone hides count as ground")
	}
	if g.raster == rasterIsPoint {
		return append(notes, "elevations stand where the file places its points")
	}
	return append(notes, "elevations stand in the middle of the file's cells")
}

// ground turns a sample into metres, without the site's own shift.
type ground struct{ scale, base float64 }

// believed tells whether a sample is an elevation of ground.
func (g ground) believed(v float64) bool {
	z := v*g.scale + g.base
	return z >= lowestGround && z <= highestGround
}

// readWindow reads the blocks that the window touches.
func (t *tiff) readWindow(m *tiffImage, w rectangle, values sink, g ground, progress func(done, total int64)) error {
	hidden, text, err := t.noData(m)
	if err != nil {
		return err
	}
	r := &tiffReader{tiff: t, m: m, offsets: tagTable{t: t, e: m.offsets}, counts: tagTable{t: t, e: m.counts}}
	defer r.unzip.close()
	numbers := make([]float64, 0, min(w.cols(), m.blockCols))
	firstDown, lastDown := w.fromRow/m.blockRows, (w.toRow-1)/m.blockRows
	for down := firstDown; down <= lastDown; down++ {
		for across := w.fromCol / m.blockCols; across <= (w.toCol-1)/m.blockCols; across++ {
			b, missing, err := r.block(across, down)
			if err != nil {
				return err
			}
			if missing {
				continue
			}
			part := rectangle{
				max(w.fromCol, b.col), max(w.fromRow, b.row),
				min(w.toCol, b.col+m.blockCols), min(w.toRow, b.row+b.rows),
			}
			err = r.eachRow(b, part, func(row int, samples []byte) error {
				numbers = numbers[:part.cols()]
				m.numbers(samples, numbers)
				for i, v := range numbers {
					switch {
					case v == hidden || v != v:
						numbers[i] = math.NaN()
					case !g.believed(v):
						return t.noElevation(part.fromCol+i, row, v, text)
					}
				}
				values.putRow(part.fromCol-w.fromCol, row-w.fromRow, numbers)
				return nil
			})
			if err != nil {
				return err
			}
		}
		if progress != nil {
			progress(int64(down-firstDown+1)*t.size/int64(lastDown-firstDown+1), t.size)
		}
	}
	return nil
}
