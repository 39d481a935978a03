// Command damtally plans an earth dam from a site's tables and writes a
// spreadsheet: compacted, bank and loose volumes against what the pits hold.
package main

import "os"

func main() {
	ignoreFileSizeSignal()
	spareMemory()
	os.Exit(run(systemWorld(), os.Args[1:]))
}
