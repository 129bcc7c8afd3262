package reply

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"
)

func TestQuick(t *testing.T) {
	f, err := os.Open("/tmp/q/replies.txt")
	if err != nil {
		t.Skip()
	}
	in := inputFor(t, "hall")
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		s := sc.Text()
		if strings.HasPrefix(s, "@ ") {
			in = setting(t, in, s[2:])
			fmt.Println(s)
			continue
		}
		rd := Read(unquote(t, s), in)
		fmt.Printf("%-50s => %s", s, brief(rd))
		for _, a := range rd.Asks {
			if len(a.Suggest) > 0 && a.About != "version" {
				fmt.Printf("  ~%s", strings.Join(a.Suggest, " | "))
			}
		}
		fmt.Println()
	}
}
