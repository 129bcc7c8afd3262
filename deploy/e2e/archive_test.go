package e2e

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The demo's club whole, out and in again: through a running server into a fresh one, and between stores on which no
// server runs, where it is the same byte for byte.
func TestAClubOutAndInAgain(t *testing.T) {
	here := t.TempDir()
	demoData := filepath.Join(here, "demo")
	old, memberLink, link := demo(t, "127.0.0.1:0", demoData)
	coach := signIn(t, old.url, link)
	phone := signIn(t, old.url, memberLink)
	boards := pastWeek(coach)
	told := conversation(t, old.url, member{token: phone.token})
	if len(boards) < 10 {
		t.Fatalf("only %d boards in the demo's week", len(boards))
	}
	env := []string{"TALLYBELL_TOKEN=" + coach.token}
	file := filepath.Join(here, "club.jsonl")
	if code, _, errs := run(t, env, "export", "--server", old.url, "--out", file); code != 0 {
		t.Fatalf("export: exit %d, %s", code, errs)
	}
	if st, err := os.Stat(file); err != nil || st.Mode().Perm() != 0o600 {
		t.Errorf("the export can be read by others: %v %v", st.Mode(), err)
	}
	if code, _, errs := run(t, env, "export", "--server", old.url, "--out", file); code != 2 || !strings.Contains(errs, "is there already") {
		t.Errorf("over a file: exit %d, %s", code, errs)
	}
	if code, out, errs := run(t, nil, "export", "--data", demoData); code != 3 || out != "" || !strings.Contains(errs, "locked") || !strings.Contains(errs, "--server") {
		t.Errorf("from a locked folder: exit %d, %s", code, errs)
	}
	if code := old.stop(); code != 0 {
		t.Fatalf("the demo ended with %d", code)
	}

	t.Run("through servers", func(t *testing.T) { throughServers(t, here, file, coach, phone, boards, told) })
	t.Run("without servers", func(t *testing.T) {
		out := func(name, data string) string {
			t.Helper()
			to := filepath.Join(here, name)
			if code, _, errs := run(t, nil, "export", "--data", data, "--out", to); code != 0 {
				t.Fatalf("export: exit %d, %s", code, errs)
			}
			b, err := os.ReadFile(to)
			if err != nil {
				t.Fatal(err)
			}
			return string(b)
		}
		first := out("first.jsonl", demoData)
		fresh := filepath.Join(here, "fresh")
		if code, _, errs := run(t, nil, "import", "--data", fresh, filepath.Join(here, "first.jsonl")); code != 0 || !strings.Contains(errs, "lantern-hall") {
			t.Fatalf("import: exit %d, %s", code, errs)
		}
		if out("second.jsonl", fresh) != first {
			t.Error("the import's export differs")
		}
		if code, _, errs := run(t, nil, "import", "--data", fresh, filepath.Join(here, "first.jsonl")); code != 1 || !strings.Contains(errs, "exists already") {
			t.Errorf("over a club: exit %d, %s", code, errs)
		}
		if code, _, errs := run(t, nil, "export", "--data", filepath.Join(here, "nowhere")); code != 3 || !strings.Contains(errs, "no data folder") {
			t.Errorf("from nowhere: exit %d, %s", code, errs)
		}
	})
}

func throughServers(t *testing.T, here, file string, coach, phone api, boards map[string]string, told []string) {
	club, err := filepath.Abs("../../cmd/tallybell/demodata/club.txt")
	if err != nil {
		t.Fatal(err)
	}
	args, tokenFile := serveArgs(t, "--data", filepath.Join(here, "new"), "--club", club)
	p := start(t, args...)
	first := coachOf(t, p.url, tokenFile)
	env := []string{"TALLYBELL_TOKEN=" + first.token}
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	cut := filepath.Join(here, "cut.jsonl")
	if err := os.WriteFile(cut, whole[:len(whole)*2/3], 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := run(t, env, "import", "--server", p.url, cut); code != 1 || !strings.Contains(errs, "line ") || !strings.Contains(errs, "Nothing was imported") {
		t.Errorf("a cut file: exit %d, %s", code, errs)
	}
	var people []any
	if first.want(200, "GET", "/api/members", nil, &people); len(people) != 1 {
		t.Fatalf("of a cut file %d people stayed", len(people))
	}
	if code, _, errs := run(t, env, "import", "--server", p.url, file); code != 0 {
		t.Fatalf("import: exit %d, %s", code, errs)
	}
	coach.t, coach.url = t, p.url
	waitFor(t, "the server to read the club anew", func() bool { return answersTo(coach) })
	if status, _, _ := first.call("GET", "/api/members", "application/json", nil); status != http.StatusUnauthorized {
		t.Errorf("the first coach, who gave way, gets %d", status)
	}
	after := pastWeek(coach)
	if len(after) != len(boards) {
		t.Errorf("%d boards, want %d", len(after), len(boards))
	}
	for k, v := range boards {
		if after[k] != v {
			t.Errorf("%s was\n%s\nand is\n%s", k, v, after[k])
		}
	}
	if again := conversation(t, p.url, member{token: phone.token}); strings.Join(again, "\n") != strings.Join(told, "\n") {
		t.Errorf("a member's conversation was\n%s\nand is\n%s", strings.Join(told, "\n"), strings.Join(again, "\n"))
	}
	env = []string{"TALLYBELL_TOKEN=" + coach.token}
	if code, out, errs := run(t, env, "rebuild", "--server", p.url); code != 0 || out != "" {
		t.Errorf("rebuild: exit %d, %q %s", code, out, errs)
	}
	if code, _, errs := run(t, env, "import", "--server", p.url, file); code != 1 || !strings.Contains(errs, "already") {
		t.Errorf("over a club: exit %d, %s", code, errs)
	}
	checkLog(t, p)
	if code := p.stop(); code != 0 {
		t.Errorf("ended with %d:\n%s", code, p.stderr())
	}
}

// answersTo reports whether a server that may be between two lives knows a coach.
func answersTo(a api) bool {
	req, err := http.NewRequest("GET", a.url+"/api/members", nil)
	if err != nil {
		return false
	}
	req.Header.Set("Authorization", "Bearer "+a.token)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return false
	}
	resp.Body.Close()
	return resp.StatusCode == http.StatusOK
}

// Results from elsewhere: what cannot be read is told by line and column and nothing is entered, and a table that is
// entered twice is entered once.
func TestResultsFromATable(t *testing.T) {
	args, tokenFile := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"))
	p := start(t, args...)
	coach := coachOf(t, p.url, tokenFile)
	ada := joinAll(coach, map[string]any{"name": "Ada Brook", "division": "women", "on_boards": true, "level": "as written"})[0]
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, nil)
	env := []string{"TALLYBELL_TOKEN=" + coach.token, "TALLYBELL_SERVER=" + p.url}
	file := filepath.Join(t.TempDir(), "old.csv")
	table := func(lines ...string) {
		t.Helper()
		if err := os.WriteFile(file, []byte("\ufeffdate,part,name,result,version\r\n"+strings.Join(lines, "\r\n")+"\r\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	table(today()+",D,Ada Brook,13:05,as_written", today()+",D,Nobody Known,14:00,scaled")
	code, out, errs := run(t, env, "import", "--csv", file)
	if code != 1 || !strings.Contains(out, file+":3:14: no member is named") || !strings.Contains(errs, "nothing was entered") {
		t.Errorf("exit %d\n%s\n%s", code, out, errs)
	}
	if page := boardOf(coach, "D"); page != "" {
		t.Errorf("something was entered: %s", page)
	}
	if code, out, errs = run(t, env, "import", "--csv", file, "--partial"); code != 1 || !strings.Contains(errs, "1 results entered") {
		t.Errorf("partial: exit %d\n%s\n%s", code, out, errs)
	}
	if page := boardOf(coach, "D"); page != "women as_written: 1 Ada Brook 13:05" {
		t.Errorf("the board: %s", page)
	}
	// our own table of the board reads back, and changes nothing
	code, csv, errs := run(t, env, "board", "--csv", today(), "D")
	if code != 0 {
		t.Fatalf("board: exit %d, %s", code, errs)
	}
	if err := os.WriteFile(file, []byte(csv), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, out, errs = run(t, env, "import", "--csv", file); code != 0 || !strings.Contains(errs, "0 results entered, 1 were there already") {
		t.Errorf("our own table: exit %d\n%s\n%s", code, out, errs)
	}
	var data struct {
		History []struct{ By, Why string }
	}
	api{t, p.url, ada.token}.want(200, "GET", "/api/me/data", nil, &data)
	if len(data.History) != 1 || data.History[0].By != "coach" || data.History[0].Why != "imported" {
		t.Errorf("the ledger: %+v", data.History)
	}
	if strings.Contains(p.stderr(), "Ada Brook") || strings.Contains(p.stderr(), "13:05") {
		t.Error("the log holds a name or a result")
	}
}

func boardOf(coach api, part string) string {
	var page boardPage
	coach.want(200, "GET", "/api/boards/"+today()+"/"+part, nil, &page)
	return page.lines()
}
