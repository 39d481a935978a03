// Package earthwork turns a dam's design and the ground under it into
// cross-sections, areas and compacted volumes by average end area.
//
// All values are SI: metres, square metres, cubic metres, slopes horizontal to
// one vertical, allowances as fractions. Stations, offsets and their signs are
// those of package geometry: an offset is negative upstream.
//
// A volume here is always compacted, that is, measured in the dam. What it
// takes in the bank and in trucks is the business of package borrow.
package earthwork
