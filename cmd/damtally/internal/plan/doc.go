// Package plan is the only place that knows the order of steps: a checked site
// becomes a Job, which holds what does not depend on the dam's design (ground,
// centreline, soil factors, what the pits hold), and a Job with a design
// becomes a Result.
//
// Everything is SI, save texts for the user, which are in the site's own output
// units.
package plan
