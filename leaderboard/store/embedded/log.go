package embedded

import (
	"fmt"
	"io"
	"path/filepath"
)

// logFile is DATA/append.resp: every effect since the last snapshot at its beginning.
type logFile struct {
	disk Disk
	dir  string
	file File
	end  chain
	size int64
	buf  []byte
}

// Name of the log in the data folder, and of a snapshot that is being written.
const (
	Name    = "append.resp"
	tmpName = "append.resp.new"
)

func (l *logFile) path() string { return filepath.Join(l.dir, Name) }

// open opens the log for appending and reads it whole.
func (l *logFile) open() ([]byte, error) {
	f, err := l.disk.Append(l.path())
	if err != nil {
		return nil, fmt.Errorf("data folder %s: %w", l.dir, err)
	}
	b, err := io.ReadAll(f)
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("data folder %s: reading %s: %w", l.dir, Name, err)
	}
	l.file = f
	return b, nil
}

// cutAt removes the bytes of a torn group and makes that durable.
func (l *logFile) cutAt(size int64) error {
	if err := l.file.Truncate(size); err != nil {
		return fmt.Errorf("cutting %s at byte %d: %w", l.path(), size, err)
	}
	if err := l.file.Sync(); err != nil {
		return fmt.Errorf("cutting %s at byte %d: %w", l.path(), size, err)
	}
	return nil
}

// append writes the effects of one pipeline as a group and returns when it is on disk. After an error
// nobody knows what the file holds beyond size, and only a new snapshot may follow.
func (l *logFile) append(commands []byte) error {
	b, next := l.end.appendGroup(l.buf[:0], commands)
	l.buf = b
	if cap(l.buf) > 1<<20 {
		l.buf = nil
	}
	if err := write(l.file, b); err != nil {
		return fmt.Errorf("appending to %s: %w", l.path(), err)
	}
	if err := l.file.Sync(); err != nil {
		return fmt.Errorf("syncing %s: %w", l.path(), err)
	}
	l.end, l.size = next, l.size+int64(len(b))
	return nil
}

func write(f File, b []byte) error {
	n, err := f.Write(b)
	if err == nil && n < len(b) {
		err = io.ErrShortWrite
	}
	return err
}
