package terrain

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
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
	r, err := t.explain(m, opt)
	if err != nil {
		return Found{}, err
	}
	found := Found{Unit: r.unit, Bound: r.bound(), Notes: r.notes}
	w := r.window(opt)
	if w.empty() {
		return found, s.besides(found.Bound, opt)
	}
	if err := s.tooLarge(w); err != nil {
		return Found{}, err
	}
	values := newSink(w, m.wide(), r.scale, r.base+opt.Shift)
	if err := t.readWindow(m, w, values, r.ground, opt.Progress); err != nil {
		return Found{}, err
	}
	found.Surface, err = s.surface(values, r.raster, w)
	return found, err
}

// tiffRaster is what an image's tags say of places, in metres from the origin,
// and of elevations.
type tiffRaster struct {
	raster
	ground
	unit  units.Unit // of the file's places
	notes []string
}

// explain reads what the tags say of places and elevations.
func (t *tiff) explain(m *tiffImage, opt Options) (tiffRaster, error) {
	var r tiffRaster
	g, err := t.geoKeys(m.tags)
	if err != nil {
		return r, err
	}
	b, err := t.bandMetadata(m)
	if err != nil {
		return r, err
	}
	place, err := t.placed(m, g)
	if err != nil {
		return r, err
	}
	if g.vertical.SI == 0 {
		g.vertical = b.unit
		if b.odd != "" && opt.ElevationUnit.SI == 0 {
			return r, t.atColumn("elevation unit", tagText(tagBandMetadata), fmt.Sprintf("its elevations are in %s, which is not known", units.Quote(b.odd)), "give its `elevation unit`")
		}
	}
	plan, elevation, notes, err := t.geoUnits(g, opt)
	if err != nil {
		return r, err
	}
	step, base, err := t.steps(place, b)
	if err != nil {
		return r, err
	}
	r.raster, r.unit = place.metres(plan, opt.Origin), plan
	r.ground = ground{elevation.ToSI(step), elevation.ToSI(base)}
	r.notes = slices.Concat(notes, place.notes, m.remarks(g, step, base))
	return r, nil
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
	if len(m.masks) > 0 {
		notes = append(notes, "the file holds a mask; cells that it hides are no ground")
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
	mask, err := t.readMask(m, w)
	if err != nil {
		return err
	}
	take := taker{m: m, w: w, values: values, ground: g, hidden: hidden, text: text, mask: mask}
	return t.eachBlock(m, w, progress, func(col, row int, samples []byte) error {
		return take.row(t.source, col, row, samples)
	})
}

// eachBlock reads the blocks of an image that the window touches, and gives the
// samples of the window from them, little-endian, a row of a block at a time.
func (t *tiff) eachBlock(m *tiffImage, w rectangle, progress func(done, total int64), use func(col, row int, samples []byte) error) error {
	r := &tiffReader{tiff: t, m: m, offsets: tagTable{t: t, e: m.offsets}, counts: tagTable{t: t, e: m.counts}}
	defer r.unzip.close()
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
			part := b.within(m, w)
			err = r.eachRow(b, part, func(row int, samples []byte) error { return use(part.fromCol, row, samples) })
			if err != nil {
				return err
			}
		}
		if progress != nil {
			done := float64(down-firstDown+1) / float64(lastDown-firstDown+1)
			progress(int64(done*float64(t.size)), t.size)
		}
	}
	return nil
}

// within is the part of a block that the window takes, in the image.
func (b block) within(m *tiffImage, w rectangle) rectangle {
	return rectangle{
		max(w.fromCol, b.col), max(w.fromRow, b.row),
		min(w.toCol, b.col+m.blockCols), min(w.toRow, b.row+b.rows),
	}
}

// taker puts samples into the store of a window.
type taker struct {
	m      *tiffImage
	w      rectangle
	values sink
	ground ground
	hidden float64 // the sample that marks no ground, NaN for none
	text   string  // as the file writes it
	mask   *tiffMask
	room   [takenAtOnce]float64
}

// takenAtOnce is how many samples are turned into numbers at once.
const takenAtOnce = 4096

// row takes the samples of one row of the image, from a column on.
func (k *taker) row(s *source, col, row int, samples []byte) error {
	for len(samples) > 0 {
		n := min(len(samples)/k.m.bytes, takenAtOnce)
		numbers := k.room[:n]
		k.m.numbers(samples, numbers)
		for i, v := range numbers {
			switch {
			case v == k.hidden || math.IsNaN(v) || k.mask.hides(col+i, row):
				numbers[i] = math.NaN()
			case !k.ground.believed(v):
				return s.noElevation(col+i, row, v, k.text)
			}
		}
		k.values.putRow(col-k.w.fromCol, row-k.w.fromRow, numbers)
		col, samples = col+n, samples[n*k.m.bytes:]
	}
	return nil
}
