package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The whole way from what invented members typed to boards.
func TestRankReplies(t *testing.T) {
	sheet := filepath.Join(t.TempDir(), "s.txt")
	if err := os.WriteFile(sheet, []byte(rankSheet), 0o600); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name  string
		args  []string
		lines []string
		want  string
	}{
		{"for time", []string{"--part", "D"}, []string{
			"Ann\twomen\tD 14:32 as written", "Bea\twomen\tD 14:32 rx", "Cleo\twomen\tD 13:57 scaled, legs gone",
			"Dot\twomen\tD cap, 2 rounds and 14, rx", "Ann\twomen\tfix D 14:23", "Eve\tmen\tD 14:32", "Finn\tmen\tthanks coach",
			"Gus\tmen\tD 14:75 rx", "Hal\tmen\tD 15:00 rx", "Hal\tmen\tscrap D", "Ida\tmen\tD 16:00", "Ida\tmen\tthat was scaled"},
			`women as_written: 1 Ann 14:23 2 Bea 14:32 3 Dot cap at 70 reps; women scaled: 1 Cleo 13:57; men scaled: 1 Ida 16:00; ` +
				`unread Eve "D 14:32" D/version; unread Gus "D 14:75 rx" D/value; `},
		{"equal times are listed by who first logged", []string{"--part", "D"}, []string{
			"Zoe\topen\tD 15:00 rx", "Ann\topen\tD 14:00 rx", "Bea\topen\tD 14:00 rx", "Cleo\topen\tD 16:00 rx", "Zoe\topen\tfix D 14:00"},
			"open as_written: 1 Zoe 14:00 1 Ann 14:00 1 Bea 14:00 4 Cleo 16:00; "},
		{"stations, with a usual version", []string{"--part", "B", "--usual", "scaled"}, []string{
			"Ann\topen\tB 21/18/15/24", "Bea\topen\tB 20 20 20 20", "Cleo\topen\tB 21/18/15/24 rx", "Dot\topen\tB 21/18"},
			`open as_written: 1 Cleo 78 reps; open scaled: 1 Bea 80 reps 2 Ann 78 reps; unread Dot "B 21/18" B/value; `},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			args := append([]string{"--sheet", sheet}, tt.args...)
			code, out, problems := runAlone(t, rankCommand(), strings.Join(tt.lines, "\n")+"\n", args...)
			if code != 0 || problems != "" {
				t.Fatalf("exit %d, told %q", code, problems)
			}
			if got := ranked(t, []byte(out)); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}
