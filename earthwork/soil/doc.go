// Package soil holds what laboratory and field tests say of a soil: its
// compaction curve, its dry density in the bank, loose in a truck and
// compacted in the fill, and the factors that link those three states.
//
// Densities are kg/m3, water contents are fractions of the mass of solids,
// compaction is a fraction of the laboratory's maximum dry density.
//
// # Three states
//
// The mass of solids in a soil does not change when it is dug, hauled and
// rolled. So bank volume x bank dry density = compacted volume x fill dry
// density = loose volume x loose dry density, and every factor here is a
// quotient of two dry densities (UFC 3-220-20, 2025, section 3-4.3.2).
//
// # Why the compaction curve is an Akima curve
//
// ASTM D698 and D1557 have the laboratory draw a smooth curve through the
// plotted points and read its peak. Six published tests of 5 to 11 points were
// read with each of these curves:
//
//   - least-squares quadratic: 1.6 % low on a peaked soil, 0.7 % high and
//     above every measured point on an uneven one;
//   - least-squares cubic: 0.6 % low on the peaked soil;
//   - natural cubic spline: the density within 0.7 %, but on five points with a
//     flat top it swings and puts the optimum 0.4 point to the wrong side;
//   - monotone cubic (Fritsch and Butland): never above the highest point, so
//     it reads no peak between points at all;
//   - Akima's curve (J. ACM 17, 1970): passes through every point, bends like
//     one drawn by hand, because a slope depends on the nearest points alone.
//     Published maxima within 0.2 % where the laboratory drew or picked the
//     peak, optima within 0.4 point; 0.8 % and 0.2 point on the one test whose
//     published peak is a least-squares quadratic.
//
// Three points fix one parabola, so there the parabola is used. A curve that
// passes through every point trusts every point: one bad specimen moves it.
// That is what a laboratory's own curve does too, and why a test is plotted.
package soil
