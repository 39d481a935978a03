package report

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// sampleLifts are two lifts of one set, invented, and an allowance.
func sampleLifts() *plan.Lifts {
	return &plan.Lifts{
		TestEvery: 500, LeastTests: 1, Asked: true, Tests: 4,
		Sets: []plan.LiftSet{{
			Thickness: 0.15, Zones: []int{0, 1}, Compacted: 75, Tests: 3,
			Lifts: []earthwork.Lift{
				{Bottom: 90, Top: 90.15, Area: 200, Compacted: 30, Total: 30, Tests: 1, Parts: []earthwork.LiftPart{{Trench: true, Area: 200, Compacted: 30, Tests: 1}}},
				{Bottom: 90.15, Top: 90.3, Area: 300, Compacted: 45, Total: 75, Tests: 2, Parts: []earthwork.LiftPart{
					{Area: 100, Compacted: 15, Tests: 1}, {Zone: 1, Outside: true, Area: 200, Compacted: 30, Tests: 1},
				}},
			},
		}},
		Allowance: []earthwork.LiftPart{{Zone: 1, Compacted: 45, Tests: 1}},
		Curve:     []plan.VolumeBelow{{Level: 94, Compacted: 0}, {Level: 95, Compacted: 300}},
	}
}

// sampleLake is a lake with a pool that is known and one that is not.
func sampleLake() *plan.Lake {
	row := func(z, a, v, e, c float64) earthwork.StorageRow {
		return earthwork.StorageRow{Storage: earthwork.Storage{Level: z, Area: a, Volume: v}, Contours: earthwork.ContourStorage{EndArea: e, Conic: c}}
	}
	return &plan.Lake{
		Lowest: 92, Crest: 100, Limit: earthwork.LakeLimit{Kind: earthwork.SurveyEdge, Level: 97, At: orb.Point{5000, 7000}},
		Rows:     []earthwork.StorageRow{row(92, 0, 0, 0, 0), row(94, 300, 200, 300, 200), row(97, 900, 1900, 2100, 1996)},
		WithPits: []float64{0, 200, 2500},
		Pools: []plan.Pool{
			{Name: "normal pool", Level: 94, Known: true, At: earthwork.Pool{Storage: earthwork.Storage{Level: 94, Area: 300, Volume: 200}, Shoreline: 80, MeanDepth: 200.0 / 300, GreatestDepth: 2}},
			{Name: "spillway", Level: 99},
		},
	}
}

// The keys of lake and lifts as the data model names them; a level that could not
// be figured has no figures; without a limit or a rule the keys are absent.
func TestLakeAndLiftKeys(t *testing.T) {
	var got struct {
		Storage, Pools, Lifts []map[string]any
		Limit                 map[string]any `json:"lake_limit"`
	}
	if err := json.Unmarshal([]byte(written(t, sample())), &got); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		of   map[string]any
		key  string
		want any
	}{
		{got.Storage[2], "elevation_m", 97.0},
		{got.Storage[2], "area_m2", 900.0},
		{got.Storage[2], "volume_m3", 1900.0},
		{got.Pools[0], "shoreline_m", 80.0},
		{got.Pools[1], "elevation_m", 99.0},
		{got.Lifts[1], "elevation_m", 90.3},
		{got.Lifts[1], "area_m2", 300.0},
		{got.Lifts[1], "compacted_m3", 45.0},
		{got.Lifts[1], "tests_due", 2.0},
		{got.Limit, "kind", "survey edge"},
		{got.Limit, "x_m", 5000.0},
	} {
		if v, there := c.of[c.key]; !there || v != c.want {
			t.Errorf("%s = %v, want %v", c.key, v, c.want)
		}
	}
	if _, there := got.Pools[1]["volume_m3"]; there {
		t.Error("a volume above the limit")
	}
	bare := sample()
	bare.Lake, bare.Lifts.Asked = &plan.Lake{Limit: earthwork.LakeLimit{Level: math.Inf(1)}}, false
	root := tree(t, written(t, bare)).(map[string]any)
	if _, there := root["lake_limit"]; there {
		t.Error("a limit where there is none")
	}
	if _, there := root["lifts"].([]any)[0].(map[string]any)["tests_due"]; there {
		t.Error("tests where no rule is set")
	}
	if err := compiled(t).Validate(root); err != nil {
		t.Error(err)
	}
}
