package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rs/zerolog"
)

// A club file is read again while the server runs: a good one is taken, one with mistakes changes nothing and is told
// with its place.
func TestClubFileIsReadAgain(t *testing.T) {
	file := filepath.Join(t.TempDir(), "hall.txt")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("zone: UTC\ndivisions: women, men\n")
	var log bytes.Buffer
	a, err := build(context.Background(), zerolog.New(&log), settings{addr: "127.0.0.1:0", data: t.TempDir(), clubFiles: []string{file}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := a.stop(); err != nil {
			t.Error(err)
		}
	})
	b := a.clubs[0].bot
	write("zone: UTC\ndivisions: women, men\nage bands: 40-49, 45-54\n")
	if a.readAgain([]string{file}) || len(b.Club().AgeBands) > 0 {
		t.Errorf("a file with a mistake was taken: %v", b.Club().AgeBands)
	}
	if !strings.Contains(log.String(), "hall.txt:3:19: age bands: 40-49 and 45-54 clash") || !strings.Contains(log.String(), "everything goes on as it was") {
		t.Errorf("the log says %s", log.String())
	}
	write("zone: UTC\nclub: another\n")
	if a.readAgain([]string{file}) {
		t.Error("another club's file was taken")
	}
	write("zone: UTC\ndivisions: women, men\nage bands: 40-49, 50+\njoint ranks: yes\n")
	was := b.Club().PublicURL
	if now := b.Club(); !a.readAgain([]string{file}) {
		t.Errorf("a good file was not taken: %s", log.String())
	} else if now = b.Club(); !slices.Equal(now.AgeBands, []string{"40-49", "50+"}) || !now.JointRanks || now.PublicURL != was || now.PublicURL == "" || now.ID != "hall" {
		t.Errorf("the club is run as %+v", now)
	}
	if a.readAgain(nil) {
		t.Error("without files something was read")
	}
}
