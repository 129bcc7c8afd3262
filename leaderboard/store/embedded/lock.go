package embedded

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// LockedError says that another process uses the data folder.
type LockedError struct{ Dir string }

func (e LockedError) Error() string {
	return fmt.Sprintf("another tallybell is using %s; stop it or choose another --data", e.Dir)
}

const lockName = "lock"

// lock takes the folder for this process until the file is closed or the process ends.
func lock(dir string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(dir, lockName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, fmt.Errorf("data folder %s: cannot make its lock file; check who owns the folder: %w", dir, err)
	}
	for {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if !errors.Is(err, syscall.EINTR) {
			break
		}
	}
	if err == nil {
		return f, nil
	}
	f.Close()
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return nil, LockedError{dir}
	}
	return nil, fmt.Errorf("data folder %s cannot be locked; it needs a local file system: %w", dir, err)
}
