package earthwork_test

import (
	"errors"
	"reflect"
	"runtime"
	"testing"

	"github.com/damtally/damtally/earthwork"
)

// On any number of cores the answer is the same to the last bit, and so are the
// faults.
func TestCoresMoveNothing(t *testing.T) {
	d, where := benchDam(t, 1.5)
	short := where
	short.Extend = earthwork.ExtendNo
	steep := d
	steep.Upstream = []earthwork.FacePart{face(12)} // the survey ends before its toe
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := earthwork.Cut(d, where)
	if err != nil {
		t.Fatal(err)
	}
	_, wrong := earthwork.Cut(steep, short)
	for _, cores := range []int{2, 3, 7} {
		runtime.GOMAXPROCS(cores)
		many, err := earthwork.Cut(d, where)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(one, many) {
			t.Errorf("%d cores give another dam", cores)
		}
		var a, b *earthwork.GroundShortError
		_, again := earthwork.Cut(steep, short)
		if !errors.As(wrong, &a) || !errors.As(again, &b) || *a != *b || a.Others == 0 {
			t.Errorf("%d cores: %+v, on one %+v", cores, b, a)
		}
	}
}
