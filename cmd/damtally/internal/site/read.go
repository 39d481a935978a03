package site

// Read reads a site.
func Read(path string) (Site, error) { return Site{}, nil }
