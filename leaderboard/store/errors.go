package store

import "errors"

var (
	// ErrNotSaved wraps every failure after which a write is not known to be saved. The same write may be
	// tried again: a message or post that was saved after all is answered as before.
	ErrNotSaved = errors.New("not known to be saved")

	// ErrStale says that a condition of Change did not hold; nothing was written.
	ErrStale = errors.New("the state has changed meanwhile: read it again and decide again")

	// ErrNewerFormat says that a newer version of the program wrote this club.
	ErrNewerFormat = errors.New("the store was written by a newer version of tallybell; install that version or a later one")

	// ErrClosed says that the store was closed.
	ErrClosed = errors.New("the store is closed")
)
