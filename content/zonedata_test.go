package content

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// zoneFolder makes a folder of zone data with the embedded London in it, under other names as well.
func zoneFolder(t *testing.T, version string, names ...string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(embeddedZones), int64(len(embeddedZones)))
	if err != nil {
		t.Fatal(err)
	}
	f, err := z.Open("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	var london bytes.Buffer
	if _, err := london.ReadFrom(f); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, n := range append(names, "Europe/London") {
		if err := os.MkdirAll(filepath.Join(dir, filepath.Dir(n)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, n), london.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if version != "" {
		if err := os.WriteFile(filepath.Join(dir, "tzdata.zi"), []byte("# version "+version+"\nR d 1916 o\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestWhichZoneDataCounts: the system's only when it says that it is newer, ZONEINFO's always, and never nothing.
func TestWhichZoneDataCounts(t *testing.T) {
	own := mustEmbedded()
	if own.version < "2026f" {
		t.Fatalf("the embedded data is %q", own.version)
	}
	old, newer, mute := zoneFolder(t, "2025b"), zoneFolder(t, "2027a"), zoneFolder(t, "")
	later := zoneFolder(t, "2024a")
	for _, c := range []struct {
		what, zoneinfo string
		system         []string
		want           string
	}{
		{"no system data", "", []string{t.TempDir()}, own.version + " (embedded)"},
		{"an older system", "", []string{old}, own.version + " (embedded)"},
		{"a newer system", "", []string{newer}, "2027a (system)"},
		{"a system that does not say", "", []string{mute}, own.version + " (embedded)"},
		{"the first folder that is one", "", []string{"/does/not/exist", newer, old}, "2027a (system)"},
		{"ZONEINFO, even older: somebody chose it", later, []string{newer}, "2024a (ZONEINFO)"},
		{"ZONEINFO that does not say", mute, []string{newer}, "version unknown (ZONEINFO)"},
		{"ZONEINFO that is nothing", "/does/not/exist", []string{old}, own.version + " (embedded; what ZONEINFO points to cannot be used)"},
	} {
		if got := zoneSources(c.zoneinfo, c.system)[0].String(); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// TestZoneinfoMayBeAZip: as with Go's own, ZONEINFO may name a zip file.
func TestZoneinfoMayBeAZip(t *testing.T) {
	file := filepath.Join(t.TempDir(), "zones.zip")
	if err := os.WriteFile(file, embeddedZones, 0o644); err != nil {
		t.Fatal(err)
	}
	s := zoneSources(file, nil)[0]
	if z, err := s.load("Asia/Kathmandu"); err != nil || z.String() != "Asia/Kathmandu" || s.name != "ZONEINFO" {
		t.Errorf("%v: %v %v", s, z, err)
	}
}

func TestReleases(t *testing.T) {
	for s, want := range map[string]bool{"2026f": true, "2016aa": true, "2026": false, "": false, "026fx": false, "2026F": false, "2026f-0+deb": false} {
		if isRelease(s) != want {
			t.Errorf("%q is a release: %v", s, !want)
		}
	}
}
