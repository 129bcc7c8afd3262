package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const smallSeries = `{"discards":0,"entries":["Ann","Ben"],"races":[{"date":"2027-02-01","ranks":{"Ann":1,"Ben":1}}]}`

func TestStandingsCommand(t *testing.T) {
	file := filepath.Join(t.TempDir(), "series.json")
	if err := os.WriteFile(file, []byte(smallSeries), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, args := range map[string][]string{"stdin": nil, "a dash is stdin": {"-"}, "a file": {file}} {
		t.Run(name, func(t *testing.T) {
			code, out, problems := runAlone(t, standingsCommand(), smallSeries, args...)
			if code != 0 || problems != "" {
				t.Fatalf("exit %d, told %q", code, problems)
			}
			var got struct {
				Standings []struct {
					Rank   int
					Name   string
					Total  float64
					Scores []struct {
						Points   float64
						Excluded bool
						Rule     string
					}
					Tie string
				}
			}
			if err := json.Unmarshal([]byte(out), &got); err != nil {
				t.Fatal(err)
			}
			s := got.Standings
			if len(s) != 2 || s[1].Rank != 1 || s[1].Name != "Ben" || s[1].Total != 1.5 || s[1].Tie != "shared" ||
				len(s[1].Scores) != 1 || s[1].Scores[0].Rule != "A7" {
				t.Errorf("got %+v", s)
			}
		})
	}
}

func TestStandingsCommandRefuses(t *testing.T) {
	tests := []struct {
		name, stdin string
		args        []string
		code        int
		want        string
	}{
		{"not JSON", "{", nil, exitInput, "stdin:1:"},
		{"a gap in the ranks", strings.Replace(smallSeries, `"Ben":1`, `"Ben":3`, 1), nil, exitInput, `"Ben" has rank 3`},
		{"nothing left", strings.Replace(smallSeries, `"discards":0`, `"discards":1`, 1), nil, exitInput, "discards: 1 of 1"},
		{"two files", "", []string{"a", "b"}, exitUsage, "one FILE"},
		{"an unknown flag", "", []string{"--wat"}, exitUsage, "wat"},
		{"a file that is not there", "", []string{"/nowhere/s.json"}, exitOutside, "cannot read"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, out, problems := runAlone(t, standingsCommand(), tt.stdin, tt.args...)
			if code != tt.code || !strings.Contains(problems, tt.want) || out != "" {
				t.Errorf("exit %d, told %q, stdout %q; want exit %d and %q", code, problems, out, tt.code, tt.want)
			}
		})
	}
}
