// Package workbook writes a plan's result as an xlsx workbook with live
// formulas, in the units that the site asks for.
//
// It has three layers. An expr is a formula together with its value, built from
// other cells, so a reference and the figure behind it cannot drift apart. A
// sheet is a plan of cells on a grid, with its looks and its print set-up. One
// file a sheet says what stands where; book.go orders them, save.go writes them
// as a stream that is the same to the byte for the same result.
//
// What can be derived is a formula with its value stored beside it; what was
// measured, typed or drawn is a plain value in the style "you may change this".
// Where a formula would not repeat the plan's own figure to the tolerance
// `agrees`, the plan's figure stands as a plain value and the summary says so in
// red: a workbook never shows two answers to one question.
//
// Only functions that every spreadsheet program knows are used, and no array
// expressions.
package workbook
