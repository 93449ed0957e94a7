package cli

import (
	"errors"

	"swardcast/climate/recordfile"
)

// FileHint says what to do about a fault of a file.
func FileHint(err error) string {
	var file *recordfile.Error
	if errors.As(err, &file) {
		return file.Hint
	}
	return ""
}
