package reply

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"tallybell/content"
)

func TestQuick(t *testing.T) {
	text, err := os.ReadFile("/tmp/q/sheet.txt")
	if err != nil {
		t.Skip()
	}
	s, ps := content.Parse("2027-02-01.txt", text)
	for _, p := range content.Errors(ps) {
		t.Log(p.In("sheet"))
	}
	in := Input{Session: content.FittedSession{Session: s, Sheet: s}, Library: content.Builtin(), Today: s.Date}
	f, _ := os.Open("/tmp/q/replies.txt")
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		rd := Read(sc.Text(), in)
		fmt.Print(rd.Reply, "\n      ")
		for _, x := range rd.Results {
			b, _ := json.Marshal(x)
			fmt.Print(string(b), " ")
		}
		for _, x := range rd.Asks {
			fmt.Print(" ?", x.Part, " ", x.About, " ")
			if x.About != "version" {
				fmt.Printf("%q", x.Suggest)
			}
		}
		if rd.Care != "none" {
			fmt.Print(" care=", rd.Care)
		}
		if rd.Note != "" {
			fmt.Printf(" note=%q", rd.Note)
		}
		if rd.Question {
			fmt.Print(" QUESTION")
		}
		if rd.Command != "" {
			fmt.Print(" cmd=", rd.Command, " ", rd.Until, " ", rd.Argument)
		}
		if rd.Effort != nil {
			fmt.Print(" effort=", *rd.Effort)
		}
		fmt.Println()
	}
}
