package embedded

import (
	"io"
	"os"
)

// File is what the log needs of an open file.
type File interface {
	io.Reader
	io.Writer
	Sync() error
	Truncate(size int64) error
	Close() error
}

// Disk is what the log needs of a file system. Tests give one that fails.
type Disk interface {
	// Append opens a file for reading and appending and makes it (0600) when absent.
	Append(path string) (File, error)
	// Create makes an empty file (0600), or empties the one that is there.
	Create(path string) (File, error)
	Rename(from, to string) error
	Remove(path string) error
	// SyncDir makes the names of a folder durable.
	SyncDir(dir string) error
}

type osDisk struct{}

func (osDisk) Append(path string) (File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	return f, f.Chmod(0o600)
}

func (osDisk) Create(path string) (File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return nil, err
	}
	return f, f.Chmod(0o600)
}

func (osDisk) Rename(from, to string) error { return os.Rename(from, to) }
func (osDisk) Remove(path string) error     { return os.Remove(path) }

func (osDisk) SyncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
