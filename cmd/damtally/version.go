package main

import (
	"regexp"
	"runtime/debug"
)

// version is set by a release build: -ldflags "-X main.version=1.2.3".
var version string

// release is a version that names one state of the source.
var release = regexp.MustCompile(`^v\d+\.\d+\.\d+$`)

// ownVersion is the release that this program is, or "dev". It stands in the
// outputs, so anything that changes from build to build is "dev".
func ownVersion() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && release.MatchString(info.Main.Version) {
		return info.Main.Version[1:]
	}
	return "dev"
}
