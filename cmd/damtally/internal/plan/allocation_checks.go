package plan

// allocationChecks sets what the sources send beside what the dam needs: the
// volume in the dam and, where all is filled, what is dug.
func (j *Job) allocationChecks(r *Result) []Check {
	a := r.Allocation
	if a == nil {
		return nil
	}
	fed, short, asked := 0.0, 0.0, 0.0
	for _, f := range a.Flows {
		fed += f.Compacted
	}
	for _, s := range a.Short {
		short += s.Short
	}
	dug, need := 0.0, 0.0
	for i := range r.Materials {
		m := &r.Materials[i]
		if j.isDug(m.Row.Name) {
			asked += m.Compacted
			need += m.Bank
		}
	}
	for _, f := range a.Flows {
		dug += f.Bank
	}
	out := []Check{{
		Key: "fed", What: "what the pits and other sources send, with what is short, beside what the dam takes, compacted", Unit: "m3",
		Ours: fed + short, Other: asked, Tolerance: sumTolerance, Holds: close(fed+short, asked, sumTolerance), Costly: true,
		Mend: "report this: some soil is counted twice or left out",
	}}
	if len(a.Short) == 0 {
		out = append(out, Check{
			Key: "dug", What: "what is dug from all sources beside the bank volume needed", Unit: "m3",
			Ours: dug, Other: need, Tolerance: sumTolerance, Holds: close(dug, need, sumTolerance), Costly: true,
			Mend: "report this: some soil is counted twice or left out",
		})
	}
	return out
}
