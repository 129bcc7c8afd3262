package content

import (
	"strings"
	"testing"
)

func TestLoadZone(t *testing.T) {
	for _, name := range strings.Fields(zoneNames) {
		if _, err := LoadZone(name); err != nil {
			t.Errorf("LoadZone(%q): %v", name, err)
		}
	}
}

func TestLoadZoneRefuses(t *testing.T) {
	for name, says := range map[string]string{
		"":                      "empty",
		"Local":                 "no place's clock",
		"local":                 "no place's clock",
		"localtime":             "no place's clock",
		"posixrules":            "no place's clock",
		"right/Europe/Berlin":   "no place's clock",
		"posix/Europe/Berlin":   "no place's clock",
		"Factory":               "no place's clock",
		"europe/berlin":         "did you mean Europe/Berlin?",
		"Europe/Berlim":         "did you mean Europe/Berlin?",
		"Berlin":                "did you mean Europe/Berlin?",
		"new york":              "did you mean America/New_York?",
		"America/New York":      "did you mean America/New_York?",
		"utc":                   "UTC",
		"Mars/Olympus_Mons":     "write an IANA name such as",
		"../etc/passwd":         "unknown time zone",
		"/etc/localtime":        "unknown time zone",
		"Europe":                "unknown time zone",
		"Europe/":               "unknown time zone",
		"Europe/Berlin ":        "unknown time zone",
		"+02:00":                "unknown time zone",
		"Europe/Berlin\x00":     "unknown time zone",
		strings.Repeat("Ä", 99): "unknown time zone",
	} {
		z, err := LoadZone(name)
		if err == nil {
			t.Errorf("LoadZone(%q) = %v, want an error with %q", name, z, says)
			continue
		}
		if !strings.Contains(err.Error(), says) {
			t.Errorf("LoadZone(%q): %q does not say %q", name, err, says)
		}
	}
}

func FuzzLoadZone(f *testing.F) {
	for _, s := range []string{"Europe/Berlin", "", "Local", "europe/berlin", "../x", "UTC", "Etc/GMT+5", "right/UTC", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		z, err := LoadZone(s)
		if err == nil && (z == nil || z.String() != s || s == "" || s == "Local") {
			t.Errorf("LoadZone(%q) = %v", s, z)
		}
	})
}
