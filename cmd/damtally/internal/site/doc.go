// Package site reads the tables of a site, a folder of CSV files or one xlsx
// workbook, into a checked model in SI. Every error in the input is made here,
// all of a run at once, each with its table, row, column and how to mend it.
//
// What the tables are is said once, in Schema and Items: the readers are driven
// by them, and so are the starter site and the documentation.
//
// A file goes through these steps: bytes -> cells (csv.go, package xlsx) ->
// header (header.go) -> typed rows (rows.go, number.go) -> the model (build.go)
// -> checks between rows and tables (check_*.go).
package site
