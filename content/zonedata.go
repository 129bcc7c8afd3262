package content

import (
	"archive/zip"
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"strings"
	"sync"
	"time"
)

// embeddedZones is the IANA time zone database as zoneinfo.sh made it; the file +VERSION in it says which release.
//
//go:embed zoneinfo.zip
var embeddedZones []byte

// zoneSource is one place that has zone data: a folder or a zip file of TZif files (RFC 9636).
type zoneSource struct {
	name    string // for the log
	files   fs.FS
	version string // as 2026f; "" when it does not say
}

// String is for the log: "2026f (embedded)".
func (s zoneSource) String() string {
	if s.version == "" {
		return "version unknown (" + s.name + ")"
	}
	return s.version + " (" + s.name + ")"
}

// systemZones are the folders in which systems keep their zone data.
var systemZones = []string{"/usr/share/zoneinfo", "/usr/share/lib/zoneinfo", "/usr/lib/locale/TZ", "/etc/zoneinfo"}

// zonesInUse are this process's sources, the first the one that counts, found once.
var zonesInUse = sync.OnceValue(func() []zoneSource { return zoneSources(os.Getenv("ZONEINFO"), systemZones) })

// ZoneData names the time zone data in use and its release: "2026f (embedded)", "2027a (system)".
func ZoneData() string { return zonesInUse()[0].String() }

// ZoneRelease is the release of the zone data in use, as 2026f; "" when it does not say. Later releases sort later.
func ZoneRelease() string { return zonesInUse()[0].version }

// zoneSources orders what there is: what ZONEINFO points to, since somebody chose it; then the system's data where it
// says that it is newer than the embedded; then the embedded; then a system's that is older or does not say, for the
// names that only it has.
func zoneSources(zoneinfo string, system []string) []zoneSource {
	var all []zoneSource
	own := mustEmbedded()
	if zoneinfo != "" {
		if s, err := openZones("ZONEINFO", zoneinfo); err == nil {
			all = append(all, s)
		} else {
			own.name = "embedded; what ZONEINFO points to cannot be used"
		}
	}
	for _, dir := range system {
		s, err := openZones("system", dir)
		if err != nil {
			continue
		}
		if s.version > own.version {
			return append(all, s, own)
		}
		return append(all, own, s)
	}
	return append(all, own)
}

func mustEmbedded() zoneSource {
	z, err := zip.NewReader(bytes.NewReader(embeddedZones), int64(len(embeddedZones)))
	if err != nil {
		panic("content: the embedded zone data is broken: " + err.Error()) // a mistake in making the binary
	}
	return zoneSource{"embedded", z, zoneVersion(z)}
}

// openZones opens a folder or zip file of zone data.
func openZones(name, at string) (zoneSource, error) {
	var files fs.FS = os.DirFS(at)
	if strings.HasSuffix(at, ".zip") {
		b, err := os.ReadFile(at)
		if err != nil {
			return zoneSource{}, fmt.Errorf("zone data: %w", err)
		}
		if files, err = zip.NewReader(bytes.NewReader(b), int64(len(b))); err != nil {
			return zoneSource{}, fmt.Errorf("zone data in %s: %w", at, err)
		}
	}
	s := zoneSource{name: name, files: files, version: zoneVersion(files)}
	if _, err := s.load("Europe/London"); err != nil {
		return zoneSource{}, fmt.Errorf("no zone data in %s: %w", at, err)
	}
	return s, nil
}

// zoneVersion reads the release that the data says it is of, "" when it does not say.
func zoneVersion(files fs.FS) string {
	for _, name := range []string{"+VERSION", "tzdata.zi", "version"} {
		f, err := files.Open(name)
		if err != nil {
			continue
		}
		head := make([]byte, 64)
		n, _ := io.ReadFull(f, head)
		_ = f.Close()
		line, _, _ := strings.Cut(string(head[:n]), "\n")
		if v := strings.TrimSpace(strings.TrimPrefix(line, "# version ")); isRelease(v) {
			return v
		}
	}
	return ""
}

// isRelease reports whether s is the name of a release: a year and a letter or two.
func isRelease(s string) bool {
	if len(s) < 5 || len(s) > 6 || strings.Trim(s[:4], "0123456789") != "" {
		return false
	}
	return strings.Trim(s[4:], "abcdefghijklmnopqrstuvwxyz") == ""
}

// most is the largest zone file that is read.
const mostZone = 1 << 20

func (s zoneSource) load(name string) (*time.Location, error) {
	f, err := s.files.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if is, err := f.Stat(); err != nil || is.IsDir() || is.Size() > mostZone {
		return nil, fs.ErrNotExist
	}
	b, err := io.ReadAll(io.LimitReader(f, mostZone))
	if err != nil {
		return nil, err
	}
	return time.LoadLocationFromTZData(name, b)
}

// zones are the locations loaded so far, by name; they are never changed.
var zones sync.Map

// findZone returns the zone of that name from the first source that has it.
func findZone(name string) (*time.Location, error) {
	if name == "UTC" {
		return time.UTC, nil
	}
	if z, ok := zones.Load(name); ok {
		return z.(*time.Location), nil
	}
	if !fs.ValidPath(name) || name == "." || strings.ContainsAny(name, "\\\x00") || path.Ext(name) != "" {
		return nil, fs.ErrNotExist
	}
	for _, s := range zonesInUse() {
		z, err := s.load(name)
		if err == nil {
			kept, _ := zones.LoadOrStore(name, z)
			return kept.(*time.Location), nil
		}
		if !errors.Is(err, fs.ErrNotExist) && s.name == "ZONEINFO" {
			return nil, fmt.Errorf("the zone data that ZONEINFO points to: %w", err)
		}
	}
	return nil, fs.ErrNotExist
}
