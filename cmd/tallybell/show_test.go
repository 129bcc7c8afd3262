package main

import (
	"bytes"
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
	var out, problems bytes.Buffer
	if err := show(&out, &problems, file, false, nil); err != nil {
		t.Fatal(err, problems.String())
	}
	for _, want := range []string{"SHORT AND PLAIN\n", "3 rounds for time\n", "Cap: 9:00\n", "12 squats\n", "Easier: 12 half squats\n", "Reply like: A 8:06 scaled"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the text lacks %q:\n%s", want, out.String())
		}
	}
}

func TestShowPrintsTheCard(t *testing.T) {
	file := writeSheet(t, "session: Short and plain\n\nA. 3 rounds for time, cap 9:00\n12 squats\n")
	var out, problems bytes.Buffer
	if err := show(&out, &problems, file, true, nil); err != nil {
		t.Fatal(err, problems.String())
	}
	var card content.Card
	if err := json.Unmarshal(out.Bytes(), &card); err != nil {
		t.Fatal(err)
	}
	if card.Title != "Short and plain" || card.Date != "2027-02-01" || len(card.Parts) != 1 || card.Parts[0].CapMS != 540_000 {
		t.Errorf("got %+v", card)
	}
}

func TestShowTellsWhatIsWrong(t *testing.T) {
	file := writeSheet(t, "session: Short and plain\n\nA. 3 rounds for time\n12 sqaut\n")
	var out, problems bytes.Buffer
	err := show(&out, &problems, file, false, nil)
	if exitOf(err) != exitInput || out.Len() > 0 || !strings.HasPrefix(problems.String(), file+":4:") {
		t.Errorf("exit %d, out %q, problems %q", exitOf(err), out.String(), problems.String())
	}
	if err := show(&out, &problems, filepath.Join(t.TempDir(), "none.txt"), false, nil); exitOf(err) != exitOutside {
		t.Errorf("an unreadable sheet exits %d: %v", exitOf(err), err)
	}
}
