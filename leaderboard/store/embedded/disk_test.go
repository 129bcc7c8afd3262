package embedded

import (
	"errors"
	"os"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

var errDisk = errors.New("no space left on the test's disk")

// badDisk is the real disk until it is told to fail.
type badDisk struct {
	osDisk
	failWrite, shortWrite, failSync, failCreate, failRename, failDir atomic.Bool

	inSync  func()
	armed   atomic.Bool
	syncing chan struct{}
}

func (d *badDisk) arm() {
	d.syncing = make(chan struct{}, 1)
	d.armed.Store(true)
}

func (d *badDisk) Append(path string) (File, error) {
	f, err := d.osDisk.Append(path)
	return &badFile{f, d}, err
}

func (d *badDisk) Create(path string) (File, error) {
	if d.failCreate.Load() {
		return nil, errDisk
	}
	f, err := d.osDisk.Create(path)
	return &badFile{f, d}, err
}

func (d *badDisk) Rename(from, to string) error {
	if d.failRename.Load() {
		return errDisk
	}
	return d.osDisk.Rename(from, to)
}

func (d *badDisk) SyncDir(dir string) error {
	if d.failDir.Load() {
		return errDisk
	}
	return d.osDisk.SyncDir(dir)
}

type badFile struct {
	File
	d *badDisk
}

func (f *badFile) Write(b []byte) (int, error) {
	if f.d.failWrite.Load() {
		return 0, errDisk
	}
	if f.d.shortWrite.Load() {
		n, _ := f.File.Write(b[:len(b)/2])
		return n, errDisk
	}
	return f.File.Write(b)
}

func (f *badFile) Sync() error {
	if f.d.failSync.Load() {
		return errDisk
	}
	if f.d.armed.CompareAndSwap(true, false) {
		f.d.syncing <- struct{}{}
		f.d.inSync()
	}
	return f.File.Sync()
}

func TestFailingDisk(t *testing.T) {
	for name, set := range map[string]func(d *badDisk, on bool){
		"write fails":                   func(d *badDisk, on bool) { d.failWrite.Store(on) },
		"half a write":                  func(d *badDisk, on bool) { d.shortWrite.Store(on) },
		"sync fails":                    func(d *badDisk, on bool) { d.failSync.Store(on) },
		"write fails, then the rename":  func(d *badDisk, on bool) { d.failWrite.Store(on); d.failRename.Store(on) },
		"sync fails, then the creation": func(d *badDisk, on bool) { d.failSync.Store(on); d.failCreate.Store(on) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			disk := &badDisk{}
			c := start(t, Options{Dir: dir, Disk: disk, RetryEvery: time.Nanosecond})
			mustPut(t, c, 1, 5)
			durable := c.dump(t)
			set(disk, true)
			for range 3 {
				if err := c.put(6); !errors.Is(err, errDisk) {
					t.Fatalf("a write on a failing disk: %v", err)
				}
			}
			if err := c.s.Read(func() error { t.Error("read what is not on disk"); return nil }); !errors.Is(err, errDisk) {
				t.Errorf("a read: %v", err)
			}
			if err := c.s.Recover(); !errors.Is(err, errDisk) {
				t.Errorf("recovered on a failing disk: %v", err)
			}
			// a crash now: only what was never confirmed may be missing
			crashed := folderWith(t, mustRead(t, c.s.log.path()))
			after := start(t, Options{Dir: crashed})
			if got := after.dump(t); got != durable && !strings.Contains(got, "$2\r\nm6") {
				t.Errorf("after a crash:\n%q\nwant\n%q", got, durable)
			}
			set(disk, false)
			mustPut(t, c, 7, 9) // the first write makes the snapshot
			want := c.dump(t)
			c.stop()
			again := start(t, Options{Dir: dir})
			if got := again.dump(t); got != want {
				t.Errorf("after recovery:\n%q\nwant\n%q", got, want)
			}
		})
	}
}

func TestRetriesAreRare(t *testing.T) {
	disk := &badDisk{}
	c := start(t, Options{Dir: t.TempDir(), Disk: disk, RetryEvery: time.Hour})
	disk.failSync.Store(true)
	for range 2 { // the first fails, the second tries a snapshot
		if err := c.put(1); !errors.Is(err, errDisk) {
			t.Fatal(err)
		}
	}
	disk.failSync.Store(false)
	if err := c.put(1); !errors.Is(err, errDisk) {
		t.Errorf("tried again within the hour: %v", err)
	}
}

func TestCompactionFails(t *testing.T) {
	for name, set := range map[string]func(d *badDisk, on bool){
		"creation": func(d *badDisk, on bool) { d.failCreate.Store(on) },
		"rename":   func(d *badDisk, on bool) { d.failRename.Store(on) },
		"folder":   func(d *badDisk, on bool) { d.failDir.Store(on) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			disk := &badDisk{}
			c := start(t, Options{Dir: dir, Disk: disk, RetryEvery: time.Nanosecond})
			mustPut(t, c, 1, 5)
			set(disk, true)
			if err := c.s.Compact(); !errors.Is(err, errDisk) {
				t.Fatalf("%v", err)
			}
			if err := c.put(6); (err != nil) != (name == "folder") {
				t.Errorf("a write afterwards: %v; only a name that may not last stops writing", err)
			}
			set(disk, false)
			mustPut(t, c, 7, 8)
			want := c.dump(t)
			c.stop()
			if got := start(t, Options{Dir: dir}).dump(t); got != want {
				t.Error("something is lost")
			}
		})
	}
}

func TestStartOnAFullDisk(t *testing.T) {
	log, want := filled(t, 5)
	disk := &badDisk{}
	disk.failCreate.Store(true)
	warned := 0
	c := start(t, Options{Dir: folderWith(t, log), Disk: disk, Warn: func(string) { warned++ }})
	if c.dump(t) != want || warned != 1 {
		t.Errorf("warned %d times", warned)
	}
	mustPut(t, c, 6, 6)
	dir, now := c.s.log.dir, c.dump(t)
	c.stop()
	if start(t, Options{Dir: dir}).dump(t) != now {
		t.Error("what was appended to the old log is lost")
	}
}

// TestReallyFullDisk fills a small file system and frees it again.
func TestReallyFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=256k"); err != nil {
		t.Skip("no small file system can be mounted here (needs root): ", err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, 0) })
	c := start(t, Options{Dir: dir, RetryEvery: time.Nanosecond})
	mustPut(t, c, 1, 20)
	ballast := dir + "/ballast"
	if err := os.WriteFile(ballast, make([]byte, 200<<10), 0o600); err != nil {
		t.Fatal(err)
	}
	n, failed := 21, false
	for ; n < 2000 && !failed; n++ {
		failed = c.put(n) != nil
	}
	if !failed {
		t.Fatal("the disk never filled")
	}
	if err := c.s.Read(func() error { return nil }); err == nil {
		t.Error("read what is not on disk")
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	mustPut(t, c, n, n+5)
	want := c.dump(t)
	c.stop()
	again := start(t, Options{Dir: dir})
	if again.dump(t) != want {
		t.Error("something is lost")
	}
	again.stop()
}

func mustRead(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
