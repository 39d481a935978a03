// Package units holds the names and factors of the measures that users write
// and read, and the way stations are written. It is the only place that knows
// a factor; everything beyond the tables and the outputs is in SI.
//
// Factors are exact by definition. They come from NIST Special Publication 811
// (2008), Guide for the Use of the SI, Appendix B, and NIST Handbook 44,
// Appendix C, General Tables of Units of Measurement.
//
// The foot is the international foot (0.3048 m) in every unit of area, volume,
// density and pressure, and in the acre (43,560 ft2). Only ftUS is the survey
// foot (1200/3937 m). An acre of survey feet is larger by 4 parts in a million.
package units
