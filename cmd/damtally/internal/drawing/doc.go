// Package drawing draws a plan's result on sheets of paper: the dam in plan, the
// profile along its centreline, cross-sections, and curves. It reads a
// plan.Result and nothing else.
//
// One description serves all formats. A Sheet is a list of paths and words in
// points of paper (1/72 in), x to the right and y down from the upper left
// corner; svg.go, pdf.go and png.go write such lists and know nothing of dams.
// Whatever stands on a sheet to scale is turned into points by a scaling, and the
// scale is one that an engineer's or architect's ruler carries: 1 in = 20 ft, or
// 1:250.
//
// Words are set in the Go fonts (golang.org/x/image/font/gofont). Every word that
// is set claims its box; labels look for room that no other label and no line
// that matters takes (see placing.go).
//
// Everything that is drawn at elevations or offsets is in metres until it is
// drawn; words are in the site's output units, and a volume says its state.
package drawing
