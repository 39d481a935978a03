package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
	"github.com/damtally/damtally/geometry"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// sample is a small plan, invented, with every part filled in: a dam of two
// zones on a curve, one material with tests, one without any, one bought.
func sample() *plan.Result {
	measure := func(a float64) geometry.Measure { return geometry.Measure{Area: a} }
	yes, no, between, chance := true, false, 951.0, 0.97
	return &plan.Result{
		Site: site.Site{Settings: site.Settings{Name: "Mill <Pond> & dam", OutputUnits: "us"}, Fleet: sampleFleet()},
		Notes: []site.Note{
			{Level: "note", Text: "reserve ratio 1.5 taken", Source: "USDA Agriculture Handbook 590"},
			{Level: "danger", About: "dam", Ref: site.Ref{Table: "crest", Row: 4}, Text: "water can go round the end"},
		},
		SurfaceVolume: &between,
		Design:        earthwork.Design{Accuracy: 0.005},
		Conduits: []plan.Conduit{{
			Row:           site.Conduit{Name: "outlet", Station: 12},
			ConduitVolume: earthwork.ConduitVolume{Length: 30, From: -16, To: 14, Dug: 9, Backfill: 7, Deepest: 1.5, ByHand: 12, Pipe: 8.5},
			Lifts:         3, Tests: 3,
			FilledWith: "clay", Kept: 0.8, BackfillBank: 8.75,
		}},
		Cuts: []plan.Cut{
			{Row: site.Cut{Name: "spillway", Material: "clay"}, Usable: true, Capacity: borrow.Capacity{Area: 400, Floor: 100, Dug: 700, Bank: 700, Deepest: 4, DugTo: 96}, Loose: 875},
			{Row: site.Cut{Name: "ditch"}, Capacity: borrow.Capacity{Area: 40, Floor: 10, Dug: 30, Bank: 30, Deepest: 1, DugTo: 98}, Loose: math.NaN()},
		},
		Dug: &plan.Dug{
			Stripped: []string{"clean, 2026-05-02"}, Trench: []string{"open"}, Planned: earthwork.Quantities{Stripping: 170, Trench: 50},
			Rows: []plan.DugRow{{PlannedBottom: math.NaN(), Bottom: math.NaN()}, {PlannedStripping: 5, PlannedTrench: 3, PlannedBottom: 92, Bottom: 91.5}},
		},
		Blankets: []plan.Blanket{{Row: site.Blanket{Name: "bed", Material: "clay", Thickness: 0.5}, Plan: 100, Surface: 102, Compacted: 51, Lift: 0.15, Lifts: 4, Tests: 8}},
		Quantities: earthwork.Quantities{
			Sections: []earthwork.Section{
				{Station: 0, At: earthwork.Before, GroundLevel: 100, StrippedLevel: 99.75, Crest: 100, BuiltCrest: 100, Zones: make([]earthwork.ZoneArea, 2)},
				{
					Station: 30, At: earthwork.On, GroundLevel: 95, StrippedLevel: 94.75, Crest: 100, CrestWidth: 3, BuiltCrest: 100.5,
					Fill: true, UpstreamToe: -17.25, DownstreamToe: 12, Neat: measure(80), Trench: measure(4), Stripping: measure(6), Beyond: 0.5,
					Zones: []earthwork.ZoneArea{{Neat: measure(20), Trench: measure(4)}, {Neat: measure(60), Outside: measure(1.25), Surface: measure(12.5)}}, Outside: measure(1.25), SettledCrest: 100,
				},
			},
			Reaches: []earthwork.Reach{{From: 0, To: 1, Length: 30, Fill: earthwork.Volume{EndArea: 1200, Prismoidal: 900, Bend: 10}}},
			Zones: []earthwork.ZoneVolume{
				{Zone: "core", Neat: earthwork.Volume{EndArea: 300, Prismoidal: 225, Bend: 2}, Trench: 60, Settlement: 15, Compacted: 377},
				{Zone: "shell", Neat: earthwork.Volume{EndArea: 900, Prismoidal: 675, Bend: 8}, Settlement: 45, Outside: 20, Compacted: 973, Surface: 375},
			},
			Fill: earthwork.Volume{EndArea: 1200, Prismoidal: 900, Bend: 10}, Trench: 60, Settlement: 60, Outside: 20, Total: 1350, Refined: earthwork.Refined{Added: 3, Change: 1.5, Short: 1},
			ByHeight: 60, ByToesKept: 55, ByVolume: 121, Stripping: 180, Overbuild: 12, Footprint: 700, Highest: 1,
		},
		Materials: []plan.Material{
			{
				Row: site.Material{Name: "clay"}, Lab: &soil.Curve{MaxDry: 1750, Optimum: 0.16, N: 5, Bracketed: true},
				Factors: soil.Factors{
					Bank:   soil.Density{Value: 1500, SD: 20, N: 3, From: soil.FromTests},
					Loose:  soil.Density{Value: 1200, N: 1, From: soil.FromTests},
					Fill:   soil.Density{Value: 1700, N: 5, From: soil.Planned},
					Shrink: 1500.0 / 1700, ShrinkFrom: soil.Planned, Swell: 0.25, LoadFactor: 0.8, SwellFrom: soil.FromTests,
				},
				Loss: 0.05, Known: true, Shares: []plan.Share{{Zone: 0, Fraction: 1, Compacted: 377}}, Blankets: []plan.BlanketShare{{Compacted: 51}},
				Compacted: 377, DryMass: 640900, Bank: 449.75, Loose: 562.19,
				Spread: &plan.Spread{
					BankDensity: &soil.Interval{Low: 1450, High: 1550}, LooseDensity: &soil.Interval{Low: 1000, High: 1400}, FillDensity: &soil.Interval{Low: 1600, High: 1800},
					Assumed: []soil.State{soil.Loose, soil.Fill}, Factors: soil.FactorIntervals{
						Shrink: &soil.Interval{Low: 0.8, High: 0.97}, Swell: &soil.Interval{Low: 0.1, High: 0.4}, LoadFactor: &soil.Interval{Low: 0.71, High: 0.91},
					},
					Loose:   &plan.Range{Low: 520, Middle: 562, High: 600, FirstLow: 521, FirstHigh: 601},
					Bank:    &plan.Range{Low: 430, Middle: 450, High: 470, FirstLow: 431, FirstHigh: 469},
					Drivers: []soil.VarianceShare{{State: soil.Fill, Share: 0.7}, {State: soil.Bank, Share: 0.3}},
					Next:    &plan.Purchase{Purchase: soil.Purchase{State: soil.Bank, Tests: 3, Before: 0.05, After: 0.03}, Pit: "north"},
				},
				Moisture: &plan.Moisture{
					Present: 0.20, Tests: 3, Target: 0.16, PerBank: -60, PerCompacted: math.NaN(), Mass: math.NaN(), TooWet: true, Over: 0.02, Days: 2,
					Lift: 0.15, Evaporates: 33, Ordered: -900, Truck: 0, Loads: 0,
					Pits: []plan.PitMoisture{{Pit: "north", Present: 0.2, Tests: 3, PerBank: -60, Ordered: -27, TooWet: true, Over: 0.02, Days: 2}},
				},
			},
			{Row: site.Material{Name: "till"}, Shares: []plan.Share{{Zone: 1, Fraction: 0.5, Compacted: 476.5}}, Compacted: 476.5, Bank: math.NaN(), Loose: math.NaN()},
			{Row: site.Material{Name: "riprap"}, Bought: true, Compacted: 476.5, Mass: 800000},
		},
		Tests: []plan.Test{
			{Row: site.DensityTest{ID: "F1", Ref: site.Ref{Table: "density", Row: 2}, State: "fill", Material: "clay", WaterContent: site.Number{Value: 0.2, Given: true}}, DryDensity: 1600, Compaction: 0.9143, MaxDry: 1750, Pass: &no, Reasons: []string{"density"}, Replaced: true},
			{Row: site.DensityTest{State: "bank", Material: "clay", RetestOf: "B0"}, DryDensity: 1500, Compaction: math.NaN()},
		},
		Lots: []plan.Lot{
			{Material: "clay", Zone: "core", Done: 4, Due: 12, Failed: 1, Lot: soil.Lot{N: 3, Mean: 0.96, SD: 0.01, Lowest: 0.95, Within: 0.9}},
			{Material: "clay", Zone: "core", Lift: "1", Done: 1, Lot: soil.Lot{N: 1, Mean: 0.96, Lowest: 0.96, Within: math.NaN()}},
		},
		Trials: []plan.Trial{{
			Material: "clay", Machine: "padfoot roller", Required: 0.95, Passes: 5, Reach: soil.Tried,
			Growth: soil.Growth{Steps: []soil.Step{{Passes: 4, N: 2, Compaction: 0.94, Smooth: 0.94}}, Fitted: true, Ceiling: 0.99},
			Fleet:  1, Pressure: 90e3, Loose: 0.2, Compacted: 0.15, Work: sampleWork(),
		}},
		Allocation: sampleAllocation(),
		Excavated:  []plan.Excavated{{What: "cutoff trench", Kind: "trench", Source: "cutoff trench", Bank: 60, Material: "clay", Used: 20, Left: 40, LeftLoose: 50}},
		Haul:       sampleHaul(),
		Pits:       samplePits(),
		Balance: []plan.Balance{
			{Material: "clay", Compacted: 377, Needed: 449.75, Available: 1000, Base: 377, ReserveOn: "compacted", ReserveRatio: 1.5, Required: 565.5, Ratio: 1000.0 / 377, Enough: &yes, Pits: []int{0}, Beside: []plan.BesidePits{{Source: "heap", Kind: "stockpile", Bank: 49.75}}, Chance: &chance, ChanceBasis: plan.ChanceWithLayers},
			{Material: "till", Compacted: 476.5, Needed: math.NaN(), Base: 476.5, ReserveOn: "compacted", ReserveRatio: 1.5, Required: math.NaN(), Short: math.NaN()},
		},
		Lifts: sampleLifts(), Lake: sampleLake(),
		Items: []plan.Item{
			{Row: site.PayItem{Item: "fill", Unit: "yd3", UnitPrice: 4.5, UnitCost: site.Number{Value: 4, Given: true}}, Quantity: 1739.6, Amount: 7828.2, Measured: "plan", Cost: 6958.4, MarkUp: 0.125},
			{Row: site.PayItem{Item: "haul", Unit: "yd3", UnitPrice: 1}, Unpaid: "no swell is known", Cost: math.NaN(), MarkUp: math.NaN()},
		},
		Bid: &plan.Bid{Items: 7828.2, Overhead: 782.82, Contingency: 430.551, Profit: 904.1571, Total: 9945.7281, Cost: 7058.4, Costed: 2},
		Unpaid: []plan.UnpaidWork{
			{Key: "overbuild", What: "overbuild, placed and trimmed off", State: "compacted", Volume: 12, UnitCost: math.NaN()},
			{Key: "rehandling", Subject: "north heap", What: "rehandling of stockpile north heap", State: "loose", Volume: 50, UnitCost: 2},
		},
		Reconciliation: sampleReconciliation(),

		Checks: []plan.Check{{What: "dry mass in pit and dam", Key: "dry mass", Ours: 640900, Other: 640900, Unit: "kg", Holds: true}},
	}
}

// The keys of how sure the figures are, as the data model names them.
func TestSpreadAndWaterKeys(t *testing.T) {
	root := tree(t, written(t, sample())).(map[string]any)
	if n, _ := root["seed"].(json.Number); n.String() != "20260301" {
		t.Errorf("seed %v", root["seed"])
	}
	clay := root["materials"].([]any)[0].(map[string]any)
	want := map[string]any{"p10": 430.0, "p50": 450.0, "p90": 470.0, "first_order_p10": 431.0, "first_order_p90": 469.0}
	got := map[string]any{}
	for k, v := range clay["bank_range_m3"].(map[string]any) {
		got[k], _ = v.(json.Number).Float64()
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if v, there := clay["water_to_add_kg"]; !there || v != nil {
		t.Errorf("water to add: %v, want null", v)
	}
	lots := root["lots"].([]any)
	if _, there := lots[1].(map[string]any)["within_limits_pct"]; there || len(lots) != 2 {
		t.Errorf("lots %v", lots)
	}
	for _, key := range []string{"bank_range_m3", "water", "next_tests"} {
		if _, there := root["materials"].([]any)[1].(map[string]any)[key]; there {
			t.Errorf("till has %s", key)
		}
	}
	bare := tree(t, written(t, &plan.Result{})).(map[string]any)
	if _, there := bare["seed"]; there {
		t.Error("a seed where nothing was drawn")
	}
}

func written(t *testing.T, r *plan.Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, r, "dev"); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// tree is a JSON text as maps and lists.
func tree(t *testing.T, text string) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	if err := c.AddResource("result.json", tree(t, Schema)); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("result.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestOutputsFollowTheSchema(t *testing.T) {
	bare := &plan.Result{Site: site.Site{Settings: site.Settings{OutputUnits: "metric"}}}
	for name, r := range map[string]*plan.Result{"all parts": sample(), "no parts": bare} {
		if err := compiled(t).Validate(tree(t, written(t, r))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSchemaIsStrict shows that a key which drifts away from the schema, or
// goes missing, is caught in every object of the file.
func TestSchemaIsStrict(t *testing.T) {
	s, text := compiled(t), written(t, sample())
	objects := 0
	var walk func(v, root any)
	walk = func(v, root any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				walk(e, root)
			}
		case map[string]any:
			objects++
			v["drifted"] = 1
			if s.Validate(root) == nil {
				t.Errorf("a stray key passes in %v", v)
			}
			delete(v, "drifted")
			for _, e := range v {
				walk(e, root)
			}
		}
	}
	root := tree(t, text)
	walk(root, root)
	if objects < 20 {
		t.Errorf("only %d objects were tried", objects)
	}
}

// TestSchemaKnowsEveryField finds a field of the structs that the sample leaves
// out, or that the schema does not name.
func TestSchemaKnowsEveryField(t *testing.T) {
	text := written(t, sample())
	var visit func(kind reflect.Type)
	visit = func(kind reflect.Type) {
		for kind.Kind() == reflect.Slice || kind.Kind() == reflect.Pointer {
			kind = kind.Elem()
		}
		if kind.Kind() != reflect.Struct {
			return
		}
		for i := range kind.NumField() {
			key, _, _ := strings.Cut(kind.Field(i).Tag.Get("json"), ",")
			if !kind.Field(i).Anonymous && !strings.Contains(text, `"`+key+`":`) {
				t.Errorf("the sample has no %s.%s", kind.Name(), key)
			}
			visit(kind.Field(i).Type)
		}
	}
	visit(reflect.TypeFor[document]())
}

// TestKeys holds the figures of the sample against the keys that people's files
// depend on. The sums are worked by hand.
func TestKeys(t *testing.T) {
	var got struct {
		Schema  int
		Volumes map[string]any
		Balance []map[string]any
		Notes   []map[string]any
	}
	if err := json.Unmarshal([]byte(written(t, sample())), &got); err != nil {
		t.Fatal(err)
	}
	// 1200 by end areas + 10 for the curve; 1210 + 60 + 60 + 20 = 1350.
	for key, want := range map[string]float64{
		"fill_m3": 1210, "trench_m3": 60, "settlement_m3": 60, "outside_m3": 20, "total_compacted_m3": 1350,
		"prismoidal_m3": 910, "curve_correction_m3": 10, "stripping_m3": 180, "overbuild_m3": 12, "footprint_m2": 700,
	} {
		if got.Volumes[key] != want {
			t.Errorf("%s = %v, want %v", key, got.Volumes[key], want)
		}
	}
	sum := 0.0
	for _, z := range got.Volumes["zones"].([]any) {
		z := z.(map[string]any)
		parts := z["neat_m3"].(float64) + z["trench_m3"].(float64) + z["settlement_m3"].(float64) + z["outside_m3"].(float64)
		if parts != z["compacted_m3"] {
			t.Errorf("zone %v: parts add up to %v, not %v", z["zone"], parts, z["compacted_m3"])
		}
		sum += parts
	}
	if sum != 1350 {
		t.Errorf("zones add up to %v", sum)
	}
	if v, there := got.Balance[1]["needed_bank_m3"]; v != nil || !there {
		t.Errorf("an unknown need is written as %v (%v)", v, there)
	}
	if got.Balance[1]["enough"] != nil || got.Balance[0]["enough"] != true {
		t.Errorf("enough: %v, %v", got.Balance[0]["enough"], got.Balance[1]["enough"])
	}
}

// TestEveryNullHasANote counts the nulls against the notes that the report adds.
func TestEveryNullHasANote(t *testing.T) {
	r := sample()
	text := written(t, r)
	added := strings.Count(text, `"level":`) - len(r.Notes)
	// The amount and the quantity of an unpaid item share one note.
	if nulls := strings.Count(text, "null"); nulls != added+1 || nulls == 0 {
		t.Errorf("%d nulls and %d notes", nulls, added)
	}
	for _, want := range []string{"till: bank volume could not be figured: no shrink factor is known", "haul: quantity could not be figured: no swell is known"} {
		if !strings.Contains(text, want) {
			t.Errorf("no note says %q", want)
		}
	}
}

func TestText(t *testing.T) {
	text := written(t, sample())
	if text != written(t, sample()) {
		t.Error("two writings differ")
	}
	if !strings.Contains(text, "Mill <Pond> & dam") || !strings.HasSuffix(text, "\n}\n") || !strings.Contains(text, "\n  \"schema\": 1,") {
		t.Errorf("not as laid out:\n%s", text)
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{0.1: "0.1", math.Inf(1): "null", math.Inf(-1): "null", 1e21: "1e+21", -2.5: "-2.5"} {
		got, err := json.Marshal(number(v))
		if diff := cmp.Diff(want, string(got)); err != nil || diff != "" {
			t.Errorf("%v: %v %s", v, err, diff)
		}
	}
	for _, v := range []float64{math.NaN(), math.Copysign(0, -1)} {
		want := map[bool]string{true: "0", false: "null"}[v == 0]
		if got, _ := json.Marshal(number(v)); string(got) != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestWriteFails(t *testing.T) {
	if err := Write(full{}, sample(), "dev"); err == nil || err.Error() != "no room" {
		t.Errorf("got %v", err)
	}
}
