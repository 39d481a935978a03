// Package terrain reads files of ground into geometry: rasters, surveyors'
// triangulated surfaces, scans and point lists.
//
// A file's plan coordinates are multiplied by its unit and taken from
// Options.Origin, so that everything returned is in metres from the site's
// origin. Elevations are metres in the site's datum. A file is never written to,
// and a length that a file states is not believed before the file has shown that
// it is long enough.
package terrain
