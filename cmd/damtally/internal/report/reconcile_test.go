package report

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
)

// sampleReconciliation is an invented season of the sample's clay: 440 bank m3
// dug, 550 loose m3 that were counted as 600, 371 compacted m3 placed.
func sampleReconciliation() *plan.Reconciliation {
	about := func(v float64) borrow.Measured { return borrow.Measure(v, 0.01, 0) }
	season := borrow.Season{
		Tally: about(600), Weighed: about(660000), Pit: about(440), Fill: about(371),
		Bank: about(1500), Loose: about(1200), Placed: about(1700), Kept: about(0.95), Level: plan.Confidence,
	}
	account := borrow.Reconcile(season)
	return &plan.Reconciliation{
		Until: "2026-06-30",
		Pits:  []plan.PitSurveys{{Before: "stripped", After: "June", From: "2026-05-01", To: "2026-06-30", Change: geometry.CutFill{Cut: 441, Fill: 3}, Noise: 1, Error: 4}},
		PitSeen: []plan.PitAccount{
			{Tally: 600, Loads: 50, Account: account, Lost: about(440)},
		},
		Fills: []plan.FillSurvey{{Name: "June fill", Date: "2026-06-30", Progress: earthwork.Progress{
			Zones: []earthwork.ZoneProgress{{Placed: 181, Design: 362}, {Placed: 190, Design: 928}}, Above: 2, Beside: 1, Undercut: -1,
		}}},
		Soils: []plan.SoilAccount{{
			Season: season, Account: account, Loads: 50, Rejected: 2, RejectedLoose: 24, WeighedShare: 1, Design: 377, Placed: 371,
			Left: borrow.Remains(6, about(0.88), about(0.95), about(560)),
		}},
	}
}

// The keys that the data model names, and figures that can be worked by hand:
// 600 loose m3 at 1200 against 440 bank m3 at 1500 are 720 t against 660 t.
func TestReconciliationKeys(t *testing.T) {
	var got struct {
		Reconciliation struct {
			Loads      float64 `json:"loads_m3_loose"`
			LoadsBank  float64 `json:"loads_m3_bank"`
			Pits       float64 `json:"pit_survey_m3_bank"`
			Fill       float64 `json:"fill_survey_m3_compacted"`
			Shrink     float64 `json:"shrink_factor_seen"`
			Difference []struct {
				First, Second, Words, Pit string
				Ratio                     float64
				Beyond                    bool `json:"beyond_measurement_error"`
			} `json:"differences"`
			Zones []struct {
				Complete float64 `json:"complete_pct"`
			} `json:"zones"`
		}
	}
	if err := json.Unmarshal([]byte(written(t, sample())), &got); err != nil {
		t.Fatal(err)
	}
	r := got.Reconciliation
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"loads loose", r.Loads, 600},
		{"loads bank", r.LoadsBank, 480},
		{"pits", r.Pits, 440},
		{"fill", r.Fill, 371},
		{"shrink", r.Shrink, 371 / (440 * 0.95)},
		{"core complete", r.Zones[0].Complete, 50},
	} {
		if math.Abs(c.got-c.want) > 1e-9*c.want {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	if n := len(r.Difference); n != 12 {
		t.Errorf("%d differences, want 6 of the soil and 6 of the pit", n)
	}
	d := r.Difference[1]
	if d.Words != "the truck tally says 9.1 % more than the pits lost" || !d.Beyond || math.Abs(d.Ratio-720.0/660) > 1e-9 || d.Pit != "" {
		t.Errorf("tally against pits: %+v", d)
	}
	if strings.Contains(written(t, &plan.Result{}), "reconciliation") {
		t.Error("a plan has a reconciliation")
	}
}
