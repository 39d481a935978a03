package earthwork

import "math"

// ConicVolume is the volume between two level sections h apart by the conic
// formula, h/3 (A1 + A2 + sqrt(A1 A2)). It is exact for a cone or pyramid and
// its frusta, too low for a wedge. Areas are not below zero.
func ConicVolume(h, a1, a2 float64) float64 {
	return h / 3 * (a1 + a2 + math.Sqrt(a1*a2))
}

// ContourStorage is what the areas inside contours say of the volume below one
// of them, by the two methods in use, m3.
type ContourStorage struct {
	EndArea float64 // sum of h (A1 + A2) / 2
	Conic   float64 // sum of h (A1 + A2 + sqrt(A1 A2)) / 3
}

// StorageByContours sums volumes up from the areas inside contours, lowest
// first; the first contour has no volume below it. levels rise and areas are as
// many as levels, none below zero. Neither method bounds the truth: the conic
// one is exact on a cone, the end area on a valley whose area grows in a
// straight line.
func StorageByContours(levels, areas []float64) []ContourStorage {
	out := make([]ContourStorage, len(levels))
	for i := 1; i < len(levels); i++ {
		h := levels[i] - levels[i-1]
		out[i].EndArea = out[i-1].EndArea + EndArea(h, areas[i-1], areas[i])
		out[i].Conic = out[i-1].Conic + ConicVolume(h, areas[i-1], areas[i])
	}
	return out
}

// StorageRow is one row of a table of storage by elevation.
type StorageRow struct {
	Storage                 // exact, over the triangles
	Contours ContourStorage // what the areas of the rows up to here say
}

// roundOffWater is an area, m2, or a volume, m3, of water in a table that is rounding
// alone: that of a thumbnail. The lake's lowest level leaves such a rest.
const roundOffWater = 1e-4

// Curve is the table of area and storage by elevation, with the contour methods
// beside. levels rise; the contour methods start from nothing at the first one,
// so it should be the lake's lowest. The error is an *AboveLimitError.
func (l *Lake) Curve(levels []float64, face *Face) ([]StorageRow, error) {
	storages, err := l.storages(levels, face)
	if err != nil {
		return nil, err
	}
	out := make([]StorageRow, len(levels))
	areas := make([]float64, len(levels))
	for i, s := range storages {
		if s.Area < roundOffWater {
			s.Area = 0
		}
		if s.Volume < roundOffWater {
			s.Volume = 0
		}
		out[i].Storage, areas[i] = s, s.Area
	}
	for i, c := range StorageByContours(levels, areas) {
		out[i].Contours = c
	}
	return out, nil
}
