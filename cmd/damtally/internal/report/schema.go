package report

import _ "embed" // for the schema's text

// Schema is the JSON Schema (draft 2020-12) of what Write writes. It names
// every key; a key that it does not know is an error.
//
//go:embed result.schema.json
var Schema string
