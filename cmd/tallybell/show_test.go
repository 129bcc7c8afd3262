package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

func exitOf(err error) int {
	var coder cli.ExitCoder
	if errors.As(err, &coder) {
		return coder.ExitCode()
	}
	return 0
}

func writeSheet(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "2027-02-01.txt")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestShowPrintsTheSession(t *testing.T) {
	file := writeSheet(t, "session: Short and plain\n\nA. 3 rounds for time, cap 9:00\n12 squats\n  easier: 12 half squat\n")
	code, out, problems := runAlone(t, showCommand(), "", file)
	if code != 0 || problems != "" {
		t.Fatalf("exit %d: %s", code, problems)
	}
	for _, want := range []string{"SHORT AND PLAIN\n", "3 rounds for time\n", "Cap: 9:00\n", "12 squats\n", "Easier: 12 half squats\n", "Reply like: A 8:06 scaled"} {
		if !strings.Contains(out, want) {
			t.Errorf("the text lacks %q:\n%s", want, out)
		}
	}
}

func TestShowPrintsTheCard(t *testing.T) {
	file := writeSheet(t, "session: Short and plain\n\nA. 3 rounds for time, cap 9:00\n12 squats\n")
	code, out, problems := runAlone(t, showCommand(), "", "--json", file)
	if code != 0 || problems != "" {
		t.Fatalf("exit %d: %s", code, problems)
	}
	var card content.Card
	if err := json.Unmarshal([]byte(out), &card); err != nil {
		t.Fatal(err)
	}
	if card.Title != "Short and plain" || card.Date != "2027-02-01" || len(card.Parts) != 1 || card.Parts[0].CapMS != 540_000 {
		t.Errorf("got %+v", card)
	}
}

func TestShowTellsWhatIsWrong(t *testing.T) {
	file := writeSheet(t, "session: Short and plain\n\nA. 3 rounds for time\n12 sqaut\n")
	code, out, problems := runAlone(t, showCommand(), "", file)
	if code != exitInput || out != "" || !strings.HasPrefix(problems, file+":4:") {
		t.Errorf("exit %d, out %q, problems %q", code, out, problems)
	}
	if code, _, problems := runAlone(t, showCommand(), "", filepath.Join(t.TempDir(), "none.txt")); code != exitOutside {
		t.Errorf("an unreadable sheet exits %d: %s", code, problems)
	}
}
