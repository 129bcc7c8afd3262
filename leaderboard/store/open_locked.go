package store

import (
	"errors"

	"tallybell/leaderboard/store/embedded"
)

// LockedFolder returns the data folder that Open could not have because another process uses it; "" for other errors.
func LockedFolder(err error) string {
	var locked embedded.LockedError
	if errors.As(err, &locked) {
		return locked.Dir
	}
	return ""
}
