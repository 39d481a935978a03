package soil

// MeanError is the standard error of a mean density as a share of it, with its
// degrees of freedom: that of the logarithm of the mean, with stated practice
// weighed in (see Propagate), so that two tests that happen to agree do not make
// a mean certain. It is false for a density that is not known or was typed.
func (d Density) MeanError(s State) (relative, df float64, ok bool) {
	t, ok := termOf(d, s)
	return t.scale, t.df, ok
}
