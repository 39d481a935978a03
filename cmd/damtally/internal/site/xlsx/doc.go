// Package xlsx reads the cells of an xlsx workbook (ECMA-376 Part 1, chapter
// 18, Office Open XML) as they are stored: raw values, with the type of the
// cell, the class of its number format, and whether its row or sheet is hidden.
//
// It exists because a checked reader needs all of these for every cell in one
// pass: a formatted value hides digits (612.347 shown as 612), and the stored
// number of a cell shown as a clock time or a percentage means something else
// than it seems. It reads a sheet as a stream, with stated limits, so that a
// damaged or hostile file can exhaust neither memory nor patience.
package xlsx
