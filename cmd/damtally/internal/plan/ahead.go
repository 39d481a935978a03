package plan

import (
	"sync"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// ahead is work on the ground that hangs on the dam alone and goes on beside the rest
// of a run: over a dense survey it takes as long as all else. Each part is waited for
// where it is asked for, so that it is the same whoever is done first.
type ahead struct {
	measured, drawn, compared sync.WaitGroup

	lake   *Lake
	notes  []site.Note
	pools  []PoolOutline
	volume *float64
}

// startAhead starts the work for a dam. Both are only read.
func (j *Job) startAhead(d *earthwork.Design, q *earthwork.Quantities) *ahead {
	a := &ahead{}
	a.measured.Add(1)
	a.drawn.Go(func() {
		face := func() *earthwork.Face {
			defer a.measured.Done()
			var face *earthwork.Face
			a.lake, face, a.notes = j.lake(d, q)
			return face
		}()
		a.pools = j.poolOutlines(d, a.lake, face)
	})
	a.compared.Go(func() { a.volume = j.surfaceVolume(*d, *q) })
	return a
}

// lakeOf is Job.lake, done ahead.
func (a *ahead) lakeOf() (*Lake, []site.Note) {
	a.measured.Wait()
	return a.lake, a.notes
}

// poolsOf is Job.poolOutlines, done ahead.
func (a *ahead) poolsOf() []PoolOutline {
	a.drawn.Wait()
	return a.pools
}

// volumeOf is Job.surfaceVolume, done ahead.
func (a *ahead) volumeOf() *float64 {
	a.compared.Wait()
	return a.volume
}
